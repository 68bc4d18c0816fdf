"""How long something lasts, where some of it has not ended yet: the product-limit estimate.

E. L. Kaplan, P. Meier, "Nonparametric Estimation from Incomplete Observations", Journal of the American Statistical
Association 53 (1958), 457-481.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt


def median_duration(durations: "npt.NDArray[np.float64]", ended: "npt.NDArray[np.bool_]") -> float | None:
    """The time after which half of it has ended; None where so much has not ended that nobody can say.

    `ended` is False for what was still going on when it was last looked at, after `durations`.
    """
    import numpy as np

    if not len(durations):
        return None
    times, places = np.unique(durations, return_inverse=True)
    ends = np.bincount(places, weights=ended, minlength=len(times))
    leaving = np.bincount(places, minlength=len(times))
    at_risk = leaving[::-1].cumsum()[::-1]
    lasting = np.cumprod(1.0 - ends / at_risk)
    half = np.flatnonzero(lasting <= 0.5 + 1e-12)
    return float(times[half[0]]) if len(half) else None
