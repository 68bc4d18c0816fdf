"""How well each shot frame explains what is seen at a place, and whether the shot is there at all."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from critsheet.frames.bank import FEW, Bank
from critsheet.frames.placing import Place, Screen

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grey = NDArray[np.uint8]
    Numbers = NDArray[np.float32]

Tone = tuple[float, float]
"""Gain and lift."""

_CLIP = 40
"""Grey levels beyond which a difference says only that something else lies there."""
_FOREIGN, _FOREIGN_TIMES, _USUAL = 7.0, 2.5, 30
"""Grey levels, and times the usual (a percentile), above which a tile's best cost says that the shot is hidden."""
_BEST_ROUNDS, _FIT_ROUNDS, _FIT_PIXELS = 2, 3, 2500
_GAINS = (0.6, 1.7)
"""Times the usual gain: how dull or harsh a screen may show the shot. Beyond, a flat grey explains anything."""
_EDGE_SHARE = 0.12
"""The share of a picture's pixels that count as its edges: the steepest."""
_MOVED = 0.5
"""An edge tells frames apart if its slope differs from the typical picture's by this share of itself."""
_EDGES_KEPT = 400
_LEAST_SLOPE = 6.0
_LEAST_PIXELS = 150
_LEAST_EDGES = 40


@dataclass(frozen=True)
class Likeness:
    """What comparing found at a place.

    `costs`: mean clipped difference of each frame over the moving pixels in sight, grey levels. `best`: the frame of
    least cost. `presence`: agreement of edge directions with that frame, 0 for strangers, 1 for the very picture;
    those that stand still and those that tell frames apart count alike. `pixels`: moving pixels in sight.
    """

    place: Place
    costs: "Numbers"
    best: int
    presence: float
    pixels: int


class Comparer:
    """Compares screens with a bank."""

    def __init__(self, bank: Bank) -> None:
        self.bank = bank
        self._edges = lru_cache(maxsize=_EDGES_KEPT)(self._edges_of)

    def at(self, screen: Screen, place: Place, guess: int | None = None) -> Likeness:
        """Compare what is seen at a place with every frame; a frame guessed right gives the truest brightness."""
        import numpy as np

        bank = self.bank
        seen, mask = screen.through(place, bank.size)
        in_sight = mask.ravel()[bank.moving] > 0
        if in_sight.sum() < _LEAST_PIXELS:
            return Likeness(place, np.full(len(bank), np.float32(_CLIP)), 0, 0.0, 0)
        if guess is None:
            even = evened(seen, bank.typical, mask, bank.tone)
            guess = int(_costs_in_sight(bank, even, in_sight, FEW).argmin())
        rest, best = np.zeros(0, np.float32), guess
        for _ in range(_BEST_ROUNDS):
            even = evened(seen, bank.pictures[guess].astype(np.float32), mask, bank.tone)
            rest = _costs_in_sight(bank, even, in_sight, 1)
            best = int(rest.argmin())
            if best == guess:
                break
            guess = best
        return Likeness(place, rest, best, self._presence(seen, mask, best), int(in_sight.sum()))

    def presence(self, screen: Screen, place: Place, frame: int) -> float:
        """The agreement of edge directions with one frame at a place."""
        return self._presence(*screen.through(place, self.bank.size), frame)

    def fit(self, screen: Screen, place: Place, frame: int) -> float:
        """Presence less the share by which pixels in sight differ, the ground and what lies past its edge included."""
        import numpy as np

        seen, mask = screen.through(place, self.bank.size)
        target = self.bank.pictures[frame]
        rest = _rest(target, evened(seen, target.astype(np.float32), mask, self.bank.tone))
        return self._presence(seen, mask, frame) - float(rest[mask > 0].mean()) / _CLIP

    def _presence(self, seen: "Grey", mask: "Grey", frame: int) -> float:
        import numpy as np

        edges = self._edges(frame)
        gx, gy = slopes(seen)
        gx, gy = gx.ravel()[edges.at], gy.ravel()[edges.at]
        length = np.sqrt(gx * gx + gy * gy)
        agreement = (gx * edges.gx + gy * edges.gy) / np.maximum(length, _LEAST_SLOPE)
        inside = mask.ravel()[edges.at] > 0
        moving = inside & edges.moving
        if moving.sum() < _LEAST_EDGES:
            return 0.0
        return float(agreement[inside].mean() + agreement[moving].mean()) / 2

    def _edges_of(self, frame: int) -> "_Edges":
        import numpy as np

        gx, gy = slopes(self.bank.pictures[frame])
        slope: Numbers = np.sqrt(gx * gx + gy * gy).ravel()
        at = np.sort(np.argsort(-slope, kind="stable")[: int(_EDGE_SHARE * slope.size)])
        at = at[slope[at] > _LEAST_SLOPE]
        change = np.hypot(*(one - two for one, two in zip((gx, gy), self._typical_slopes, strict=True))).ravel()[at]
        gx, gy = (each.ravel()[at] / slope[at] for each in (gx, gy))
        return _Edges(at, gx, gy, change > _MOVED * slope[at])

    @cached_property
    def _typical_slopes(self) -> "tuple[Numbers, Numbers]":
        return slopes(self.bank.typical)


def _costs_in_sight(bank: Bank, even: "Grey", in_sight: "NDArray[np.bool_]", every: int) -> "Numbers":
    """Costs of all frames over the moving pixels that can be seen, `every` 1 or FEW."""
    import numpy as np

    moving = bank.moving_values if every == 1 else bank.few_values
    chosen = in_sight[::every]
    if not chosen.all():
        moving = np.ascontiguousarray(moving[:, chosen])
    return _believable(moving, even.ravel()[bank.moving[::every][chosen]], bank.tiles[::every][chosen])


@dataclass(frozen=True)
class _Edges:
    at: "NDArray[np.intp]"
    gx: "Numbers"
    gy: "Numbers"
    moving: "NDArray[np.bool_]"


def slopes(picture: "NDArray") -> "tuple[Numbers, Numbers]":  # type: ignore[type-arg]
    import cv2

    return cv2.Sobel(picture, cv2.CV_32F, 1, 0, scale=0.25), cv2.Sobel(picture, cv2.CV_32F, 0, 1, scale=0.25)


def evened(seen: "Grey", reference: "Numbers", mask: "Grey", usual: Tone) -> "Grey":
    """The picture seen, its brightness fitted to the reference."""
    return toned(seen, tone_of(seen, reference, mask, usual))


def toned(seen: "Grey", tone: Tone) -> "Grey":
    """A picture with another gain and lift."""
    import numpy as np

    table = np.clip(tone[0] * np.arange(256) + tone[1], 0, 255).astype(np.uint8)
    even: Grey = table[seen]
    return even


def tone_of(seen: "Grey", reference: "Numbers", mask: "Grey", usual: Tone) -> Tone:
    """Gain and lift that fit what is seen to the reference, while drawings and windows over it are set aside.

    Two fits are tried, one from the `usual` tone, one from all that is seen: menus beside a zoomed picture mislead it.
    """
    import numpy as np

    inside = np.flatnonzero(mask.ravel())
    inside = inside[:: max(1, inside.size // _FIT_PIXELS)]
    x, y = seen.ravel()[inside].astype(np.float32), reference.ravel()[inside]
    return min((_fitted(x, y, usual[0], tone) for tone in (usual, None)), key=lambda tone: _misfit(x, y, tone))


def _fitted(x: "Numbers", y: "Numbers", usual: float, start: "Tone | None") -> "Tone":
    """Gain and lift that bring x to y by least squares, outliers weighed down ever more (Geman-McClure weights)."""
    import numpy as np

    tone = start
    for _ in range(_FIT_ROUNDS):
        weight = np.ones_like(x)
        if tone is not None:
            rest = np.abs(tone[0] * x + tone[1] - y)
            weight = 1.0 / (1.0 + (rest / max(2.0, 1.5 * float(np.median(rest)))) ** 2) ** 2
        total = float(weight.sum()) + 1e-6
        mx, my = float((weight * x).sum()) / total, float((weight * y).sum()) / total
        dx = x - mx
        gain = float((weight * dx * (y - my)).sum()) / (float((weight * dx * dx).sum()) + 1e-6)
        gain = min(max(gain, _GAINS[0] * usual), _GAINS[1] * usual)
        tone = (gain, my - gain * mx)
    assert tone is not None
    return tone


def _misfit(x: "Numbers", y: "Numbers", tone: "Tone") -> float:
    import numpy as np

    return float(np.minimum(np.abs(tone[0] * x + tone[1] - y), _CLIP).mean())


def costs(frames: "Grey", seen: "Grey") -> "Numbers":
    """The mean clipped difference of each row from `seen`."""
    import cv2
    import numpy as np

    sums: Numbers = cv2.reduce(_rest(frames, seen), 1, cv2.REDUCE_SUM, dtype=cv2.CV_32F).ravel()
    return sums / np.float32(frames.shape[1])


def _rest(frames: "Grey", seen: "Grey") -> "Grey":
    import cv2
    import numpy as np

    rest: Grey = cv2.absdiff(frames, np.broadcast_to(seen, frames.shape).copy())
    return np.minimum(rest, _CLIP, out=rest)


def _believable(frames: "Grey", seen: "Grey", tiles: "NDArray[np.intp]") -> "Numbers":
    """Costs over the tiles that some frame explains: what none explains is a window, a menu or a drawing in front."""
    import numpy as np

    starts = np.flatnonzero(np.diff(tiles, prepend=-1))
    sums = np.add.reduceat(_rest(frames, seen), starts, axis=1, dtype=np.uint32).astype(np.float32)
    counts = np.diff(starts, append=tiles.size).astype(np.float32)
    least = (sums / counts).min(axis=0)
    believed = least <= max(_FOREIGN, _FOREIGN_TIMES * float(np.percentile(least, _USUAL)))
    means: Numbers = sums[:, believed].sum(axis=1) / counts[believed].sum()
    return means
