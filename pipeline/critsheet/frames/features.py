"""Finds the shot's picture anywhere on a screen by features that keep their look at any size (SIFT).

David G. Lowe, "Distinctive Image Features from Scale-Invariant Keypoints", IJCV 60, 2004; compared by the square
root of their entries (Arandjelović and Zisserman, "Three things everyone should know", CVPR 2012).
"""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from critsheet.frames.bank import Bank
from critsheet.frames.placing import Place, Screen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grey = NDArray[np.uint8]
    Numbers = NDArray[np.float32]

_ON_SCREEN, _ON_FRAME, _ON_FRAMES = 900, 320, 6400
"""Features kept of a screen, of one shot frame and of all shot frames together, the strongest."""
_SCREEN_WIDTH = 800
_RATIO = 0.82
"""A match counts if the second best is this much farther (Lowe: 0.8)."""
_LOOKED_INTO = 6
_TRIES = 200
_LEAST_SPAN = 0.08
"""Two matches that propose a place lie this share of the picture's width apart."""
_LOOSE, _TIGHTER = 0.03, (0.015, 0.008, 0.005)
"""How near a match must come to the place, in shares of the picture's width; loose at first, for stretched pictures."""
_LEAST_AGREEING, _CONVINCING = 8, 24
"""Features that make a place worth a look, and that make the mirrored picture not worth one."""
_CONTRAST = 0.012
"""Lower than Lowe's 0.03: flat grey animation has faint corners only."""
_STRETCH = 1.45
"""How far the scales across and down may differ."""
_SMALLEST_SHARE = 0.08
_LARGEST_SHARE = 8.0
"""The picture's width in shares of the screen's, zoomed out and in."""


@dataclass(frozen=True)
class Features:
    """Places (n, 2) in pixels and unit descriptions (n, 128)."""

    at: "Numbers"
    described: "Numbers"


@dataclass(frozen=True)
class _Learned:
    """The features of several shot frames in one table, `frame` saying whose each is; sought in one multiplication."""

    features: Features
    frame: "NDArray[np.intp]"


@dataclass(frozen=True)
class Sighting:
    """A place that features of one shot frame agree on, and how many do."""

    place: Place
    frame: int
    agreeing: int


class Finder:
    """Finds a bank's picture on screens; pictures both ways round are learned once."""

    def __init__(self, bank: Bank) -> None:
        self._bank = bank
        chosen = sorted(_chosen(bank).items())
        self._straight = _together(chosen)
        self._indices = [index for index, _ in chosen]

    @cached_property
    def _turned(self) -> _Learned:
        keys, wide = self._bank.keys, self._bank.size[0]
        return _together([(index, _of_key(keys[index][:, ::-1].copy(), wide)) for index in self._indices])

    def find(self, screen: Screen) -> list[Sighting]:
        """The best places, likeliest first; empty where too few features agree on any."""
        import cv2

        picture, corner = _looked_at(screen)
        shrink = min(1.0, _SCREEN_WIDTH / picture.shape[1])
        size = (max(1, round(picture.shape[1] * shrink)), max(1, round(picture.shape[0] * shrink)))
        if shrink < 1.0:
            picture = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
        seen = _features(picture, _ON_SCREEN, 1 / shrink)
        seen = Features(seen.at + corner, seen.described)
        if len(seen.at) < _LEAST_AGREEING:
            return []
        found = self._sightings(seen, self._straight, screen, mirrored=False)
        if max((each.agreeing for each in found), default=0) < _CONVINCING:
            found += self._sightings(seen, self._turned, screen, mirrored=True)
        return sorted(found, key=lambda sighting: -sighting.agreeing)

    def _sightings(self, seen: Features, learned: _Learned, screen: Screen, *, mirrored: bool) -> list[Sighting]:
        """Only the frames with most matches are looked into."""
        import numpy as np

        ours, theirs = _matched(seen, learned.features)
        counts = np.bincount(learned.frame[ours], minlength=1)
        found = []
        for frame in np.argsort(-counts, kind="stable")[:_LOOKED_INTO]:
            of_frame = learned.frame[ours] == frame
            at, seen_at = learned.features.at[ours[of_frame]], seen.at[theirs[of_frame]]
            agreed = _agreed(at, seen_at, self._bank.size, screen.size, mirrored)
            if agreed is not None:
                found.append(Sighting(agreed[0], int(frame), agreed[1]))
        return found


def _together(frames: list[tuple[int, Features]]) -> _Learned:
    import numpy as np

    at = np.concatenate([features.at for _, features in frames])
    described = np.concatenate([features.described for _, features in frames])
    numbers = np.repeat([index for index, _ in frames], [len(features.at) for _, features in frames])
    return _Learned(Features(at, described), numbers.astype(np.intp))


def _chosen(bank: Bank) -> dict[int, Features]:
    """Features of frames spread over the shot: of few where each has many, of all where a flat picture has few."""
    wide, indices = bank.size[0], list(bank.keys)
    chosen: dict[int, Features] = {}
    total, step = 0, 1 << max(0, len(indices) - 1).bit_length()
    while step >= 1 and total < _ON_FRAMES:
        for index in indices[step // 2 :: step]:
            if index not in chosen and total < _ON_FRAMES:
                chosen[index] = _of_key(bank.keys[index], wide)
                total += len(chosen[index].at)
        step //= 2
    return chosen


def _of_key(picture: "Grey", wide: int) -> Features:
    return _features(picture, _ON_FRAME, wide / picture.shape[1])


def _looked_at(screen: Screen) -> "tuple[Grey, Numbers]":
    """The window of a screen, the whole where none is known, and its upper left corner."""
    import numpy as np

    area = screen.window
    if area is None:
        return screen.picture, np.zeros(2, np.float32)
    left, top = max(0, round(area.x)), max(0, round(area.y))
    part = screen.picture[top : round(area.y + area.height), left : round(area.x + area.width)]
    return part, np.array([left, top], np.float32)


def _features(picture: "Grey", most: int, scale: float) -> Features:
    """The strongest features, their places times `scale` (counted from pixel centres)."""
    import cv2
    import numpy as np

    sift = cv2.SIFT_create(nfeatures=most, contrastThreshold=_CONTRAST)
    points, described = sift.detectAndCompute(picture, None)
    if described is None:
        return Features(np.zeros((0, 2), np.float32), np.zeros((0, 128), np.float32))
    at = (np.array([point.pt for point in points], np.float32) + 0.5) * scale - 0.5
    described = np.sqrt(described / np.maximum(described.sum(axis=1, keepdims=True), 1e-6))
    return Features(at, described.astype(np.float32))


def _matched(seen: Features, learned: Features) -> "tuple[NDArray[np.intp], NDArray[np.intp]]":
    """Numbers of learned features and of seen ones that are clearly alike."""
    import numpy as np

    alike = learned.described @ seen.described.T
    rows = np.arange(len(alike))
    best = alike.argmax(axis=1)
    top = alike[rows, best]
    alike[rows, best] = -1
    second = alike.max(axis=1)
    clear = np.flatnonzero((2 - 2 * top) < _RATIO**2 * (2 - 2 * second))
    return clear, best[clear]


def _agreed(
    ours: "Numbers", theirs: "Numbers", size: tuple[int, int], screen: tuple[int, int], mirrored: bool
) -> tuple[Place, int] | None:
    """The upright place that most matches agree on: two matches at a time propose one (RANSAC)."""
    import numpy as np

    count = len(ours)
    if count < _LEAST_AGREEING:
        return None
    random = np.random.default_rng(count)
    one, two = random.integers(0, count, _TRIES), random.integers(0, count, _TRIES)
    between, across = ours[two] - ours[one], theirs[two] - theirs[one]
    squared = np.maximum((between**2).sum(axis=1), 1e-6)
    scale = (between * across).sum(axis=1) / squared
    wide = scale * size[0] / screen[0]
    fits = (squared > (_LEAST_SPAN * size[0]) ** 2) & (wide > _SMALLEST_SHARE) & (wide < _LARGEST_SHARE)
    if not fits.any():
        return None
    scale, one = scale[fits], one[fits]
    shift = theirs[one] - scale[:, None] * ours[one]
    far = np.abs(scale[:, None, None] * ours[None] + shift[:, None] - theirs[None]).max(axis=2)
    near = far < _LOOSE * scale[:, None] * size[0]
    best = int(near.sum(axis=1).argmax())
    return _polished(ours, theirs, near[best], size[0], mirrored)


def _polished(
    ours: "Numbers", theirs: "Numbers", agree: "NDArray[np.bool_]", wide: int, mirrored: bool
) -> tuple[Place, int] | None:
    """Both scales and the shift by least squares, over matches that agree ever more closely."""
    import numpy as np

    for closeness in _TIGHTER:
        if len(np.unique(ours[agree].astype(int), axis=0)) < _LEAST_AGREEING:
            return None
        (sx, tx), (sy, ty) = (_line(ours[agree, axis], theirs[agree, axis]) for axis in (0, 1))
        if min(sx, sy) <= 0 or not 1 / _STRETCH < sx / sy < _STRETCH:
            return None
        rest = np.abs(ours * (sx, sy) + (tx, ty) - theirs).max(axis=1)
        agree = rest < closeness * sx * wide
    count = len(np.unique(ours[agree].astype(int), axis=0))
    return (Place(sx, sy, tx, ty, mirrored), count) if count >= _LEAST_AGREEING else None


def _line(x: "Numbers", y: "Numbers") -> tuple[float, float]:
    """Slope and start of the straight line through points."""
    dx = x - x.mean()
    slope = float((dx * (y - y.mean())).sum() / max(float((dx * dx).sum()), 1e-6))
    return slope, float(y.mean() - slope * x.mean())
