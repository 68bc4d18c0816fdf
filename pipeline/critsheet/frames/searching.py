"""Finds the shot's picture on a screen from nothing, or from where it was a moment before."""

from collections.abc import Sequence

from critsheet.frames.bank import Bank
from critsheet.frames.comparing import Comparer, Likeness
from critsheet.frames.features import Finder
from critsheet.frames.placing import Place, Screen
from critsheet.frames.refining import Refiner, View

_CERTAIN = 0.9
"""Edges that agree this well leave nothing to look for."""
_FAR = (8.0, 3.0, 0.0)
"""Blurs for a picture that moved between two moments: a zoom by two in a second shifts its edges by 27 pixels each."""
_DOUBTFUL, _GOOD = 0.45, 0.7
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

    def _found(self, screen: Screen) -> Likeness | None:
        best: Likeness | None = None
        for sighting in self.finder.find(screen)[:_SIGHTINGS]:
            found = self._climbed(screen, self.proportioned(sighting.place), sighting.frame)
            if best is None or found.presence > best.presence:
                best = found
            if best.presence > _CERTAIN:
                break
        return best

    def followed(self, screen: Screen, before: Likeness, steps: Sequence[int]) -> Likeness:
        """What is seen near the place of a moment before, in register with the frame seen then or one `steps` on."""
        best: Likeness | None = None
        for step in steps:
            frame = (before.best + step) % len(self.bank)
            place = self.refined([View(screen, frame)], before.place, _FAR)
            now = self.comparer.at(screen, place, frame)
            if now.best != frame:
                again = self.refined([View(screen, now.best)], place)
                now = max(now, self.comparer.at(screen, again, now.best), key=lambda each: each.presence)
            if best is None or now.presence > best.presence:
                best = now
            if best.presence > _GOOD:
                break
        assert best is not None
        return best

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
        places = {frame: self.refined([View(screen, frame)], place)}
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
        return self.comparer.at(screen, places[top], top)
