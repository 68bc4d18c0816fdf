"""Brings a place into register with a shot frame to a fraction of a pixel (Gauss-Newton, Tukey's weights).

Baker and Matthews, "Lucas-Kanade 20 years on", IJCV 56, 2004; Tukey's biweight after Huber, "Robust statistics", 1981.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from critsheet.frames.bank import Bank
from critsheet.frames.comparing import Tone, slopes, tone_of, toned
from critsheet.frames.placing import Place, Screen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grey = NDArray[np.uint8]
    Numbers = NDArray[np.float32]

_STEEPEST = 0.3
"""The share of a frame's pixels that registration looks at: flat ones tell nothing."""
_LEAST_SLOPE = 2.0
"""Grey levels a pixel: flat parts of flat animation fit anywhere, and would make its lines look like outliers."""
_TUKEY = 4.685
"""The biweight's width in standard deviations at which it is 95% efficient on clean data."""
_LEAST_SCALE = 2.0
_ROUNDS = 8
_STILL = 0.02
"""Pixels of the bank: a smaller step ends the rounds."""
_FARTHEST_STEP = 6.0


@dataclass(frozen=True)
class View:
    """A screen on which a shot frame is believed to be seen."""

    screen: Screen
    frame: int


class Refiner:
    """Refines places for one bank."""

    def __init__(self, bank: Bank) -> None:
        self._bank = bank
        self._slants = lru_cache(maxsize=64)(self._slants_of)

    def refine(
        self, views: Sequence[View], place: Place, *, one_scale: bool = True, blurs: Sequence[float] = (0.0,)
    ) -> Place:
        """The place that brings all views into register at once; with `one_scale` the picture keeps its proportions.

        `blurs` (pixels of the bank) are gone through in turn: the stronger, the farther off the picture may lie.
        """
        for blur in blurs:
            place = self._registered(views, place, one_scale, blur)
        return place

    def _registered(self, views: Sequence[View], place: Place, one_scale: bool, blur: float) -> Place:
        import numpy as np

        tones = [self._tone(view, place) for view in views]
        for _ in range(_ROUNDS):
            sums = [self._equations(view, place, blur, tone) for view, tone in zip(views, tones, strict=True)]
            left, right = np.sum([each[0] for each in sums], axis=0), np.sum([each[1] for each in sums], axis=0)
            if one_scale:
                tied = np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 1]], float)
                left, right = tied.T @ left @ tied, tied.T @ right
            try:
                step = np.linalg.solve(left + 1e-3 * np.diag(np.diag(left)) + 1e-6 * np.eye(len(left)), right)
            except np.linalg.LinAlgError:
                return place
            if one_scale:
                step = np.append(step, step[2])
            place = self._stepped(place, step)
            if np.abs(step[:2]).max() < _STILL and np.abs(step[2:]).max() * self._bank.size[0] / 2 < _STILL:
                break
        return place

    def _stepped(self, place: Place, step: "NDArray[np.float64]") -> Place:
        import numpy as np

        wide, tall = self._bank.size
        across, down = np.clip(step[:2], -_FARTHEST_STEP, _FARTHEST_STEP)
        wider, taller = np.clip(step[2:], -0.05, 0.05)
        across = -across if place.mirrored else across
        # scales grow about the picture's middle
        across, down = across - wider * (wide - 1) / 2, down - taller * (tall - 1) / 2
        return place.moved(float(across), float(down), float(wider), float(taller))

    def _tone(self, view: View, place: Place) -> Tone:
        import numpy as np

        seen, mask = view.screen.through(place, self._bank.size)
        return tone_of(seen, self._bank.pictures[view.frame].astype(np.float32), mask, self._bank.tone)

    def _equations(
        self, view: View, place: Place, blur: float, tone: Tone
    ) -> "tuple[NDArray[np.float64], NDArray[np.float64]]":
        """Normal equations of a step (across, down, wider, taller) for one view."""
        import numpy as np

        bank = self._bank
        target = bank.pictures[view.frame].astype(np.float32)
        seen, mask = view.screen.through(place, bank.size)
        at, slants = self._slants(view.frame, blur)
        inside = mask.ravel()[at] > 0
        at, slants = at[inside], slants[inside]
        if at.size < 50:
            return np.zeros((4, 4)), np.zeros(4)
        rest = _blurred(target, blur).ravel()[at] - _blurred(toned(seen, tone), blur).ravel()[at]
        scale = max(_LEAST_SCALE, 1.4826 * float(np.median(np.abs(rest))))
        near = np.clip(1 - (rest / (_TUKEY * scale)) ** 2, 0, None) ** 2
        weighted = slants * near[:, None]
        return (weighted.T @ slants).astype(np.float64), (weighted.T @ rest).astype(np.float64)

    def _slants_of(self, frame: int, blur: float) -> "tuple[NDArray[np.intp], Numbers]":
        """The steepest pixels of a frame and how each changes with a step."""
        import numpy as np

        wide, tall = self._bank.size
        gx, gy = (each.ravel() / 2 for each in slopes(_blurred(self._bank.pictures[frame], blur)))
        slope = gx * gx + gy * gy
        at = np.sort(np.argpartition(-slope, int(_STEEPEST * slope.size))[: int(_STEEPEST * slope.size)])
        at = at[slope[at] > min(_LEAST_SLOPE**2, float(slope.max()) / 4)]
        u, v = at % wide - (wide - 1) / 2, at // wide - (tall - 1) / 2
        gx, gy = gx[at], gy[at]
        return at, np.stack([gx, gy, gx * u, gy * v], axis=1).astype(np.float32)


def _blurred(picture: "NDArray[Any]", blur: float) -> "Numbers":
    import cv2
    import numpy as np

    even = picture.astype(np.float32)
    if blur:
        even = cv2.GaussianBlur(even, (0, 0), blur)
    return even
