"""Finds the shot's picture on a screen from nothing, or from where it was a moment before."""

from collections.abc import Sequence
from dataclasses import replace

from critsheet.frames.bank import Bank
from critsheet.frames.comparing import Comparer, Likeness
from critsheet.frames.features import Finder, Sighting
from critsheet.frames.placing import Place, Screen
from critsheet.frames.refining import Refiner, View
from critsheet.frames.sweeping import sweep

_CERTAIN = 0.9
"""Edges that agree this well leave nothing to look for."""
_FAR = (8.0, 3.0, 0.0)
"""Blurs for a picture that moved between two moments: a zoom by two in a second shifts its edges by 27 pixels each."""
NEAR = (4.0, 1.5, 0.0)
"""Blurs for a place that is some pixels off, such as one found by sweeping, up to 6% off in size."""
_DOUBTFUL = 0.45
_TIE = 0.04
"""Presence by which places may differ and still be as good as each other."""
_SIGHTINGS = 2
_CLIMBS = 8
_NEIGHBOURS = (-4, 4, -2, 2, -1, 1)


class Searcher:
    """Everything that looks for one bank's picture."""

    def __init__(self, bank: Bank) -> None:
        self.bank = bank
        self.comparer = Comparer(bank)
        self.finder = Finder(bank)
        self.refiner = Refiner(bank)
        self.stretch: float | None = 1.0
        """How much wider than it should be the picture is shown; None while that is not known."""

    def search(self, screen: Screen) -> Likeness | None:
        """The best place found anywhere, compared with every frame; None where nothing is found."""
        best = self._found(screen)
        if screen.window is not None and (best is None or best.presence < _DOUBTFUL):
            screen.window = None  # perhaps the viewer was moved
            best = self._found(screen)
        return best

    def sweep(self, screen: Screen) -> Likeness | None:
        """The same for pictures with too few features, unzoomed: slow, for finding a first place only."""
        return self._best_of(screen, sweep(self.bank, screen), NEAR)

    def _found(self, screen: Screen) -> Likeness | None:
        return self._best_of(screen, self.finder.find(screen)[:_SIGHTINGS], (0.0,))

    def _best_of(self, screen: Screen, sightings: list[Sighting], blurs: Sequence[float]) -> Likeness | None:
        best: Likeness | None = None
        for sighting in sightings:
            place = self.refined([View(screen, sighting.frame)], self.proportioned(sighting.place), blurs)
            found = self._climbed(screen, place, sighting.frame)
            if best is None or found.presence > best.presence:
                best = found
            if best.presence > _CERTAIN:
                break
        return best

    def followed(self, screen: Screen, before: Likeness, steps: Sequence[int]) -> Likeness:
        """What is seen near the place of a moment before, in register with the frame seen then or one `steps` on."""
        found: list[Likeness] = []
        for step in steps:
            frame = (before.best + step) % len(self.bank)
            place = self.refined([View(screen, frame)], before.place, _FAR)
            found.append(self.comparer.at(screen, place, frame))
            if found[-1].best != frame:
                again = self.refined([View(screen, found[-1].best)], place)
                found.append(self.comparer.at(screen, again, found[-1].best))
            if found[-1].presence > _CERTAIN:
                break
        return _together(found)

    def refined(self, views: Sequence[View], place: Place, blurs: Sequence[float] = (0.0,)) -> Place:
        """The place brought into register, its proportions kept where they are known."""
        return self.refiner.refine(views, place, one_scale=self.stretch is not None, blurs=blurs)

    def proportioned(self, place: Place) -> Place:
        """The place with the proportions that the picture is known to have, about the same middle."""
        if self.stretch is None:
            return place
        wide, tall = self.bank.size
        true = (self.bank.shape[0] / wide) / (self.bank.shape[1] / tall) * self.stretch
        scale = (place.sx * place.sy) ** 0.5
        sx, sy = scale * true**0.5, scale / true**0.5
        middle = ((wide - 1) / 2, (tall - 1) / 2)
        tx, ty = place.tx + (place.sx - sx) * middle[0], place.ty + (place.sy - sy) * middle[1]
        return Place(sx, sy, tx, ty, place.mirrored)

    def _climbed(self, screen: Screen, place: Place, frame: int) -> Likeness:
        """From a frame nearby to the one that fits best, each in register: a moving camera hides one in another."""
        places = {frame: place}
        shares = {frame: self.comparer.presence(screen, places[frame], frame)}
        top = frame
        for _ in range(_CLIMBS):
            if shares[top] > _CERTAIN:
                break
            guess = self.comparer.at(screen, places[top], top).best
            tries = [guess, *(top + by for by in _NEIGHBOURS)]
            new = next((f for f in tries if 0 <= f < len(self.bank) and f not in shares), None)
            if new is None:
                break
            places[new] = self.refined([View(screen, new)], places[top])
            shares[new] = self.comparer.presence(screen, places[new], new)
            top = max(shares, key=lambda f: shares[f])
        likely = [frame for frame in places if shares[frame] > shares[top] - _TIE]
        return _together([self.comparer.at(screen, places[frame], frame) for frame in likely])


def _together(found: list[Likeness]) -> Likeness:
    """The likeness at the best place, each frame's cost the least of all places that are nearly as good.

    While a picture is panned or zoomed, one frame at one place looks much like another at the next; what came before
    and after decides between them.
    """
    import numpy as np

    best = max(found, key=lambda each: each.presence)
    tied = [each.costs for each in found if each.presence > best.presence - _TIE]
    return replace(best, costs=np.minimum.reduce(tied))
