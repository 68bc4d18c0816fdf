"""Finds the shot's picture where it has no features to go by: some frames at every size, slid over the whole screen."""

from typing import TYPE_CHECKING

from critsheet.frames.bank import Bank
from critsheet.frames.features import Sighting
from critsheet.frames.placing import Place, Screen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_SCREEN_WIDTH = 320
_SMALLEST, _SIZES = 0.15, 18
"""Widths tried, from this share of the screen's to the whole, evenly in proportion: 12% apart."""
_FRAMES = 8
_FLAT = 2.0
"""Grey levels: a picture that varies less fits anywhere."""
_BEST = 3


def sweep(bank: Bank, screen: Screen) -> list[Sighting]:
    """The likeliest places of the shot's picture, unzoomed and the right way round, likeliest first."""
    import cv2
    import numpy as np

    wide, tall = screen.size
    shrink = _SCREEN_WIDTH / wide
    size = (_SCREEN_WIDTH, max(1, round(tall * shrink)))
    looked_at = cv2.resize(screen.picture, size, interpolation=cv2.INTER_AREA)
    shares = np.geomspace(_SMALLEST, 1.0, _SIZES)
    fitted = min(1.0, size[1] / size[0] * bank.shape[0] / bank.shape[1])  # as wide as the screen's height allows
    found: list[tuple[float, Sighting]] = []
    for frame in np.linspace(0, len(bank) - 1, min(_FRAMES, len(bank))).astype(int):
        best = max(
            (_slid(bank, int(frame), looked_at, float(share) * fitted) for share in shares), key=lambda each: each[0]
        )
        found.append((best[0], Sighting(_on_screen(best[1], shrink), int(frame), 0)))
    found.sort(key=lambda each: -each[0])
    return [sighting for _, sighting in found[:_BEST]]


def _slid(bank: Bank, frame: int, looked_at: "NDArray[np.uint8]", share: float) -> tuple[float, Place]:
    """How well one frame at one width fits where it fits best (normalised correlation), and where that is."""
    import cv2
    import numpy as np

    (wide, tall), (width, height) = bank.size, bank.shape
    across = max(8, round(share * looked_at.shape[1]))
    down = min(looked_at.shape[0], max(8, round(across * height / width)))
    piece = cv2.resize(bank.pictures[frame], (across, down), interpolation=cv2.INTER_AREA)
    sx, sy = across / wide, down / tall
    if piece.std() < _FLAT:
        return -1.0, Place(sx, sy, 0.0, 0.0)
    fit = np.nan_to_num(cv2.matchTemplate(looked_at, piece, cv2.TM_CCOEFF_NORMED), nan=-1.0, posinf=-1.0)
    _, top, _, (x, y) = cv2.minMaxLoc(fit)
    return float(top), Place(sx, sy, x + 0.5 * sx - 0.5, y + 0.5 * sy - 0.5)


def _on_screen(place: Place, shrink: float) -> Place:
    return Place(
        place.sx / shrink,
        place.sy / shrink,
        (place.tx + 0.5) / shrink - 0.5,
        (place.ty + 0.5) / shrink - 0.5,
        place.mirrored,
    )
