"""The shot's pictures made ready for comparing: small, evened in contrast, with what tells them apart."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from critsheet.errors import InputError
from critsheet.media.pictures import Film, open_film, shot_pictures

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grey = NDArray[np.uint8]
    Numbers = NDArray[np.float32]

MAX_SHOT_S = 600
"""A shot lasts seconds; ten minutes of it still fit the memory set aside."""
WIDEST = 320
"""Pixels across a compared picture: enough for a hand to be told from its neighbour's in full-body animation."""
_BANK_BYTES = 240_000_000
_MOVING_PIXELS = 12_000
FEW = 4
_TILE = 20
"""Pixels to the side of the tiles in which a picture is believed or not."""
_LEAST_CHANGE = 2.0
"""Grey levels by which a pixel must vary over the shot to tell frames apart; below it is coding noise."""
KEY_WIDTH = 480
_MOST_KEYS = 48


@dataclass(frozen=True)
class Bank:
    """The shot, small.

    `pictures`: (frames, height, width) in grey, evened by the gain and lift of `tone`. `keys`: larger pictures of
    frames spread over the shot, by index, for features. `shape`: the shot's own (width, height) in its file's pixels.
    `rate`: frames a second. `damaged`: packets of its file that could not be decoded.
    """

    pictures: "Grey"
    tone: tuple[float, float]
    keys: "dict[int, Grey]"
    shape: tuple[int, int]
    rate: float
    damaged: int

    def __len__(self) -> int:
        return len(self.pictures)

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the compared pictures."""
        return self.pictures.shape[2], self.pictures.shape[1]

    @cached_property
    def typical(self) -> "Numbers":
        """The median picture: what stands still."""
        import numpy as np

        step = max(1, len(self) // 60)
        middle: Numbers = np.median(self.pictures[::step], axis=0).astype(np.float32)
        return middle

    @cached_property
    def moving(self) -> "NDArray[np.intp]":
        """Flat indices of the pixels that change most over the shot, tile by tile."""
        import numpy as np

        step = max(1, len(self) // 200)
        spread = self.pictures[::step].astype(np.float32).std(axis=0).ravel()
        strongest = np.argsort(-spread, kind="stable")[:_MOVING_PIXELS]
        chosen = np.sort(strongest[spread[strongest] >= min(_LEAST_CHANGE, spread.max() * 0.5)])
        return chosen[np.argsort(self._tile_of(chosen), kind="stable")]

    @cached_property
    def tiles(self) -> "NDArray[np.intp]":
        """The number of the tile that each moving pixel lies in, rising."""
        return self._tile_of(self.moving)

    def _tile_of(self, pixels: "NDArray[np.intp]") -> "NDArray[np.intp]":
        wide, _ = self.size
        across = -(-wide // _TILE)
        return (pixels // wide // _TILE) * across + pixels % wide // _TILE

    @cached_property
    def moving_values(self) -> "Grey":
        """The changing pixels of every frame (frames, pixels)."""
        import numpy as np

        return np.ascontiguousarray(self.pictures.reshape(len(self), -1)[:, self.moving])

    @cached_property
    def few_values(self) -> "Grey":
        """One in FEW of them, for a first look."""
        import numpy as np

        return np.ascontiguousarray(self.moving_values[:, ::FEW])


def load_bank(path: Path, tell: Callable[[float], None]) -> Bank:
    """Read a shot. Raises InputError for one of a single frame, or longer than MAX_SHOT_S."""
    import cv2
    import numpy as np

    film = open_film(path)
    if film.duration_s > MAX_SHOT_S:
        raise InputError(
            f"{path} lasts {film.duration_s / 60:.0f} minutes; a shot may last up to {MAX_SHOT_S // 60}.",
            "Give the shot alone, not the whole film or the recording.",
        )
    expected = max(1, round(film.duration_s * film.rate))
    size, every = _size(film, expected), -(-expected // _MOST_KEYS)
    small: list[Grey] = []
    keys: dict[int, Grey] = {}
    for index, picture in enumerate(shot_pictures(film)):
        if index > MAX_SHOT_S * film.rate + 1:
            raise InputError(f"{path} is longer than {MAX_SHOT_S // 60} minutes.", "Give the shot alone.")
        small.append(cv2.resize(picture, size, interpolation=cv2.INTER_AREA))
        if index % every == every // 2:
            keys[index] = _narrowed(picture, KEY_WIDTH)
        tell(min(1.0, index / expected))
    if len(small) < 2:
        raise InputError(f"{path} is a single picture, not a shot.", "Give a film of at least two frames.")
    pictures = np.stack(small)
    gain, lift = _tone(pictures)
    even = np.clip(gain * np.arange(256) + lift, 0, 255).astype(np.uint8)[pictures]
    return Bank(even, (gain, lift), keys, (film.width, film.height), float(film.rate), film.damaged)


def _size(film: Film, expected: int) -> tuple[int, int]:
    aspect = film.width / film.height
    widest = min(WIDEST * max(1.0, aspect / (16 / 9)) ** 0.5, film.width, (_BANK_BYTES / expected * aspect) ** 0.5)
    return max(16, round(widest)), max(9, round(widest / aspect))


def _narrowed(picture: "Grey", width: int) -> "Grey":
    import cv2

    tall, wide = picture.shape
    if wide <= width:
        return picture
    size = (width, max(1, round(tall * width / wide)))
    smaller: Grey = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    return smaller


def _tone(pictures: "Grey") -> tuple[float, float]:
    """Gain and lift that spread the shot's own darkest and brightest over the whole range: night becomes day."""
    import numpy as np

    low, high = np.percentile(pictures[:: max(1, len(pictures) // 50)], (0.5, 99.5))
    gain = 255.0 / max(float(high - low), 8.0)
    return gain, -gain * float(low)
