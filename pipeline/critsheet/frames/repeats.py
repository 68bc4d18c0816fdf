"""Frames of a shot that are one picture: holds, and exact repeats elsewhere in a cycle."""

from typing import TYPE_CHECKING

from critsheet.frames.bank import Bank
from critsheet.frames.comparing import costs

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float32]

Span = tuple[int, int]

_ALIKE, _ALIKE_SHARE = 1.2, 0.1
"""Grey levels, and the share of the usual difference between neighbours, below which two frames are one picture."""
_CODING = 0.1
"""Grey levels: neighbours that differ less are a hold, and say nothing of what is usual."""
_LONGEST_COMPARED = 1500
"""Frames: in a longer shot only holds are looked for, since every frame would have to be compared with every other."""
_PIXELS = 3000
_MOST_SPANS = 12
_LIKELY = 0.35
"""A neighbour this share as likely as the likeliest frame is not told apart from it."""


class Repeats:
    """Knows which frames of a bank are one picture; `kinds` gives each frame the number of its picture."""

    def __init__(self, bank: Bank) -> None:
        import numpy as np

        values = np.ascontiguousarray(bank.moving_values[:, :: max(1, bank.moving.size // _PIXELS)])
        rest = [float(costs(two[None], one)[0]) for one, two in zip(values, values[1:], strict=False)]
        told = [each for each in rest if each > _CODING] or [1.0]
        limit = min(_ALIKE, _ALIKE_SHARE * float(np.median(told)))
        self.kinds = _kinds(values, limit, everywhere=len(bank) <= _LONGEST_COMPARED)
        self._counts = np.bincount(self.kinds)

    def shared(self, each: "Numbers") -> "Numbers":
        """One value a frame, averaged over the frames that are one picture: coding noise tells no repeats apart."""
        import numpy as np

        means = np.bincount(self.kinds, weights=each) / self._counts
        return means.astype(np.float32)[self.kinds]

    def spans(self, belief: "NDArray[np.float64]") -> tuple[Span, ...]:
        """The likeliest picture's frames and all that cannot be told from them, as ranges, likeliest first."""
        import numpy as np

        kind = int(np.bincount(self.kinds, weights=belief).argmax())
        frames = np.flatnonzero(self.kinds == kind)
        runs = np.split(frames, np.flatnonzero(np.diff(frames) > 1) + 1)
        spans = sorted(
            ((int(run[0]), int(run[-1])) for run in runs),
            key=lambda span: (-round(float(belief[span[0] : span[1] + 1].sum()), 3), span),
        )
        low, high = spans[0]
        least = _LIKELY * float(belief[low : high + 1].max())
        while low > 0 and belief[low - 1] > least:
            low -= 1
        while high < len(belief) - 1 and belief[high + 1] > least:
            high += 1
        apart = [span for span in spans[1:] if span[1] < low or span[0] > high]
        return ((low, high), *apart[: _MOST_SPANS - 1])


def _kinds(values: "NDArray[np.uint8]", limit: float, *, everywhere: bool) -> "NDArray[np.intp]":
    """Numbers of pictures: a frame belongs to the first one that it does not differ from by more than the limit."""
    import numpy as np

    kinds = np.full(len(values), -1, np.intp)
    for frame in range(len(values)):
        if kinds[frame] >= 0:
            continue
        end = len(values)
        if not everywhere:
            end = frame + 1
            while end < len(values) and costs(values[end][None], values[frame])[0] <= limit:
                end += 1
        alike = frame + np.flatnonzero(costs(values[frame:end], values[frame]) <= limit)
        kinds[alike[kinds[alike] < 0]] = kinds.max() + 1
    return kinds
