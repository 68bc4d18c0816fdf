"""How much is drawn over a picture of the shot: what differs between the recorded screen and the shot's own frame."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Colour = NDArray[np.uint8]
    Numbers = NDArray[np.float32]

ACROSS = 320
"""Pixels across at which pictures are compared: pen strokes stay visible, coding noise does not."""

DIFFERENT = 40.0
"""Levels of 255 in one of the colours by which ink differs from what it covers; coding noise is about 10."""

_INLIERS = 0.8
"""Share of the pixels taken to be undrawn when colours are evened."""


def drawn_share(screen: "Colour", clean: "Colour") -> float:
    """The share of the picture, 0 to 1, that is drawn over or covered, once both have the same size and colours."""
    import cv2
    import numpy as np

    height = max(1, round(ACROSS * screen.shape[0] / screen.shape[1]))
    one, two = (
        cv2.blur(cv2.resize(picture, (ACROSS, height), interpolation=cv2.INTER_AREA), (3, 3)).astype(np.float32)
        for picture in (screen, clean)
    )
    different = np.abs(_evened(two, one) - one).max(axis=2) > DIFFERENT
    return float(different.mean())


def _evened(picture: "Numbers", like: "Numbers") -> "Numbers":
    """The picture with each colour stretched to be like another's: players and recorders shift brightness."""
    import numpy as np

    result = np.empty_like(picture)
    for colour in range(picture.shape[2]):
        x, y = picture[..., colour].ravel(), like[..., colour].ravel()
        gain, lift = _line(x, y)
        misses = np.abs(gain * x + lift - y)
        near = misses <= np.quantile(misses, _INLIERS)
        gain, lift = _line(x[near], y[near])
        result[..., colour] = gain * picture[..., colour] + lift
    return result


def _line(x: "Numbers", y: "Numbers") -> tuple[float, float]:
    """Gain and lift that bring x to y by least squares; only a lift where x is flat."""
    spread = float(x.var())
    gain = float(((x - x.mean()) * (y - y.mean())).mean()) / spread if spread > 1.0 else 1.0
    return gain, float(y.mean()) - gain * float(x.mean())
