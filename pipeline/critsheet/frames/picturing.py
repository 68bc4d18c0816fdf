"""Cutting, shrinking and storing pictures: arrays (height, width, 3) of blue, green and red bytes."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from critsheet.errors import CritsheetError
from critsheet.frames.showing import Area

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Colour = NDArray[np.uint8]

QUALITY = 70
"""Of 100, in WebP: strokes and faces stay clean at 640 pixels in about 20 kB."""

GAP = 3
"""Pixels between the frames of a strip."""

LEAST = 16
"""Pixels: what is left of a picture that lies outside the screen almost wholly is not worth cutting."""


@dataclass
class Pictures:
    """Frames of the shot by number, in two sizes."""

    large: "dict[int, Colour]" = field(default_factory=dict)
    small: "dict[int, Colour]" = field(default_factory=dict)


@dataclass(frozen=True)
class Visible:
    """The part of the shot's picture that is on screen, in shares of its width and height, 0 to 1."""

    left: float = 0.0
    top: float = 0.0
    right: float = 1.0
    bottom: float = 1.0

    def of(self, picture: "Colour") -> "Colour":
        """That part of a picture."""
        height, width = picture.shape[:2]
        x, y = min(width - 1, int(self.left * width)), min(height - 1, int(self.top * height))
        return picture[y : max(y + 1, round(self.bottom * height)), x : max(x + 1, round(self.right * width))]


def cut(screen: "Colour", area: Area | None) -> "tuple[Colour, Visible]":
    """The shot's picture cut out of the screen, as far as it is on it; all of the screen where no area is known."""
    if area is None:
        return screen, Visible()
    height, width = screen.shape[:2]
    left, top = max(0, round(area.x)), max(0, round(area.y))
    right, bottom = min(width, round(area.x + area.width)), min(height, round(area.y + area.height))
    if right - left < LEAST or bottom - top < LEAST:
        return screen, Visible()
    visible = Visible(
        max(0.0, (left - area.x) / area.width),
        max(0.0, (top - area.y) / area.height),
        min(1.0, (right - area.x) / area.width),
        min(1.0, (bottom - area.y) / area.height),
    )
    return screen[top:bottom, left:right], visible


def narrowed(picture: "Colour", across: int) -> "Colour":
    """The picture at most so many pixels wide."""
    import cv2
    import numpy as np

    height, width = picture.shape[:2]
    if width <= across:
        return np.ascontiguousarray(picture)
    size = (across, max(1, round(height * across / width)))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def side_by_side(pictures: "Sequence[Colour]") -> "Colour":
    """Pictures of one size as one wide picture, with a white gap after each."""
    import numpy as np

    gap = np.full((pictures[0].shape[0], GAP, 3), 255, np.uint8)
    return np.hstack([part for picture in pictures for part in (picture, gap)])


def webp(picture: "Colour") -> bytes:
    """The picture as a WebP file (Google, WebP Container Specification; RFC 9649)."""
    import cv2

    done, content = cv2.imencode(".webp", picture, [cv2.IMWRITE_WEBP_QUALITY, QUALITY])
    if not done:
        raise CritsheetError("A still could not be stored.", "Install opencv-python-headless again.")
    return bytes(content)
