"""Where the shot's picture lies on a recorded screen, and the screen seen through that place."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from critsheet.frames.showing import Area

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grey = NDArray[np.uint8]
    Numbers = NDArray[np.float32]

_COARSENESS = 4
"""Steps to the octave in which a screen is made smaller before it is sampled, so that fine lines do not flicker."""


@dataclass(frozen=True)
class Place:
    """Pixel (u, v) of the bank's pictures lies at (sx u + tx, sy v + ty) of the screen; mirrored: of its mirror image.

    Pixels are counted from their centres. The axes stay upright; their scales may differ (a stretched picture).
    """

    sx: float
    sy: float
    tx: float
    ty: float
    mirrored: bool = False

    def area(self, size: tuple[int, int], enlarged: float = 1.0) -> Area:
        """The picture's edges, for a bank of that size, on a screen `enlarged` times as large as the one looked at."""
        wide, tall = size
        left, top = self.tx + 0.5 - 0.5 * self.sx, self.ty + 0.5 - 0.5 * self.sy
        return Area(left * enlarged, top * enlarged, self.sx * wide * enlarged, self.sy * tall * enlarged)

    def moved(self, across: float, down: float, wider: float, taller: float) -> "Place":
        """The place after a small change, in pixels of the bank and shares of its scale about pixel (0, 0)."""
        return replace(
            self,
            sx=self.sx * (1 + wider),
            sy=self.sy * (1 + taller),
            tx=self.tx + self.sx * across,
            ty=self.ty + self.sy * down,
        )

    def apart(self, other: "Place", size: tuple[int, int]) -> float:
        """The largest distance between the two pictures' corners in pixels of the bank; infinite if one is mirrored."""
        if self.mirrored != other.mirrored:
            return float("inf")
        wide, tall = size
        across = (abs(self.tx - other.tx), abs(self.tx - other.tx + (self.sx - other.sx) * wide))
        down = (abs(self.ty - other.ty), abs(self.ty - other.ty + (self.sy - other.sy) * tall))
        return max(max(across) / min(self.sx, other.sx), max(down) / min(self.sy, other.sy))

    def on_screen(self, size: tuple[int, int], screen: tuple[int, int]) -> float:
        """The share of the picture that lies within a screen of (width, height)."""
        area = self.area(size)
        across = min(area.x + area.width, screen[0]) - max(area.x, 0.0)
        down = min(area.y + area.height, screen[1]) - max(area.y, 0.0)
        return max(0.0, across) * max(0.0, down) / (area.width * area.height)


class Screen:
    """A recorded picture; `through` looks at it in the bank's pixels.

    `window` is the part in which a viewer shows pictures, where that is known: what lies beyond is not looked at.
    """

    def __init__(self, picture: "Grey") -> None:
        self.picture = picture
        self.window: Area | None = None
        self._smaller: dict[int, Grey] = {0: picture}

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.picture.shape[1], self.picture.shape[0]

    def through(self, place: Place, size: tuple[int, int]) -> "tuple[Grey, Grey]":
        """What lies at the place, as a picture of `size` (width, height), and a mask: 255 in the window, 0 beyond."""
        import cv2
        import numpy as np

        picture = self._at((place.sx * place.sy) ** 0.5)
        kx, ky = picture.shape[1] / self.size[0], picture.shape[0] / self.size[1]
        matrix = np.array(
            [
                [place.sx * kx, 0, (place.tx + 0.5) * kx - 0.5],
                [0, place.sy * ky, (place.ty + 0.5) * ky - 0.5],
            ]
        )
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        seen = cv2.warpAffine(picture, matrix, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
        mask = np.zeros((size[1], size[0]), np.uint8)
        window = self.window or Area(0.0, 0.0, *self.size)
        left, right = _inside(place.sx, place.tx, size[0], window.x, min(self.size[0], window.x + window.width))
        top, bottom = _inside(place.sy, place.ty, size[1], window.y, min(self.size[1], window.y + window.height))
        mask[top:bottom, left:right] = 255
        if place.mirrored:
            return np.ascontiguousarray(seen[:, ::-1]), np.ascontiguousarray(mask[:, ::-1])
        return seen, mask

    def _at(self, step: float) -> "Grey":
        """The picture made smaller so that neighbouring samples `step` pixels apart leave nothing out."""
        import cv2
        import numpy as np

        level = max(0, round(_COARSENESS * np.log2(max(step, 1e-6))))
        if level not in self._smaller:
            factor = 2.0 ** (-level / _COARSENESS)
            size = (max(1, round(self.size[0] * factor)), max(1, round(self.size[1] * factor)))
            self._smaller[level] = cv2.resize(self.picture, size, interpolation=cv2.INTER_AREA)
        return self._smaller[level]


def _inside(scale: float, shift: float, count: int, start: float, end: float) -> tuple[int, int]:
    """First and one past the last index whose sample lies within a stretch of the screen."""
    import math

    first = max(0, math.ceil((max(start, 0.0) - 0.5 - shift) / scale))
    last = min(count - 1, math.floor((end - 0.5 - shift) / scale))
    return first, max(first, last + 1)
