"""Pass two: at every sampled moment, the place of the shot's picture and how well each frame explains what is there."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from critsheet.frames.comparing import Likeness
from critsheet.frames.placing import Place, Screen
from critsheet.frames.refining import View
from critsheet.frames.searching import Searcher
from critsheet.frames.settling import SEEN, SURE, screen_of, settled
from critsheet.frames.showing import SAMPLES_A_SECOND

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_CHUNK = 50
"""Moments held in memory together: ten seconds."""
_AS_GOOD = 0.85
"""A settled place is kept while it explains this share of what it explained at best."""
_TRUSTED = 0.75
"""The share of the usual presence below which a free place is looked for again."""
_CLEARLY = 0.06
"""Presence by which a free place must beat a settled one."""
_STILL = 2.0
"""Pixels of the bank: places of a run that is zoomed but not zooming lie nearer than this."""
_FRAMES_OFF, _RUN_VIEWS = (0, -1, 1, -2, 2, -4, 4), 5
_SEARCHES, _FAILURES = 14, 3
"""Searches in one chunk, and vain ones after which the shot counts as gone."""
_UNCHANGED_LEVELS, _UNCHANGED_BLOCK = 1.5, 16
"""Grey levels by which no block of pixels may differ, on average, for two pictures to count as one."""


@dataclass
class Moment:
    """A sampled second; `likeness` is None where the shot was not found.

    `free`: not at a settled place. `same`: nothing changed since the moment before. `trust`: presence as a share of
    what the recording usually reaches.
    """

    seconds: float
    screen: Screen | None
    likeness: Likeness | None = None
    free: bool = False
    same: bool = False
    trust: float = 1.0


class Follower:
    """Follows one shot through one recording."""

    def __init__(self, searcher: Searcher, places: list[Place]) -> None:
        self._searcher = searcher
        self._places = places
        self._best_presence = [SURE] * len(places)
        self._before: Moment | None = None
        self._fresh: Moment | None = None

    def follow(self, samples: "Iterator[tuple[float, NDArray[np.uint8]]]") -> Iterator[Moment]:
        """Every moment in order; a chunk of screens in memory at a time."""
        while chunk := [Moment(seconds, screen_of(picture)) for seconds, picture in islice(samples, _CHUNK)]:
            self._explain(chunk)
            for moment in chunk:
                if moment is not self._fresh:
                    moment.screen = None
            self._before = self._fresh
            yield from chunk

    def _explain(self, chunk: list[Moment]) -> None:
        for moment in chunk:
            moment.same = self._fresh is not None and _unchanged(self._fresh.screen, moment.screen)
            if not moment.same:
                self._try_settled(moment)
                self._fresh = moment
        fresh = [moment for moment in chunk if not moment.same]
        known = [self._before, *fresh] if self._before is not None else fresh
        for index, moment in enumerate(known):
            if moment.likeness is not None and moment.likeness.presence > SURE:
                self._spread(known, index)
        self._search_gaps(fresh)
        self._hold_still(fresh)
        before = self._before
        for moment in chunk:
            if moment.same and before is not None:
                moment.likeness, moment.free = before.likeness, before.free
            if moment.likeness is not None:
                moment.trust = min(1.0, moment.likeness.presence / self._usual())
            before = moment

    def _try_settled(self, moment: Moment) -> None:
        """The settled place that explains most; places that were right lately are tried first."""
        assert moment.screen is not None
        best: Likeness | None = None
        for index, place in enumerate(self._places):
            likeness = self._searcher.comparer.at(moment.screen, place)
            if best is None or likeness.presence > best.presence:
                best, top = likeness, index
            if likeness.presence > _AS_GOOD * self._best_presence[index]:
                break
        if best is not None and best.presence > SEEN:
            moment.likeness = best
            moment.free = best.presence < min(SURE, _AS_GOOD * self._best_presence[top])
            self._best_presence[top] = max(self._best_presence[top], best.presence)
            self._places.insert(0, self._places.pop(top))
            self._best_presence.insert(0, self._best_presence.pop(top))
        if self._places and (best is None or best.presence < SURE):
            # zoomed in perhaps: a viewer shows pictures where it showed them before
            moment.screen.window = self._places[0].area(self._searcher.bank.size)

    def _search_gaps(self, moments: list[Moment]) -> None:
        """Look for the picture in stretches that no settled place explains: at their ends, then halfway, and so on."""
        failures = 0
        tried: set[int] = set()
        while failures < _FAILURES and len(tried) < _SEARCHES:
            index = self._next_try(moments, tried)
            if index is None:
                return
            tried.add(index)
            moment = moments[index]
            assert moment.screen is not None
            found = self._searcher.search(moment.screen)
            if found is not None and found.presence > SEEN and self._better(found, moment):
                moment.likeness, moment.free = found, True
                self._spread(moments, index)
                failures = 0
            elif moment.likeness is None:
                failures += 1

    def _next_try(self, moments: list[Moment], tried: set[int]) -> int | None:
        """The middle of the longest stretch of unexplained moments that has not been tried; ends count as walls."""
        best, length, index = None, 0, 0
        while index < len(moments):
            end = index
            while end < len(moments) and end not in tried and self._unsure(moments[end]):
                end += 1
            if end - index > length:
                best, length = (index + end - 1) // 2, end - index
            index = max(end, index + 1)
        return best

    def _unsure(self, moment: Moment) -> bool:
        if moment.likeness is None:
            return True
        return moment.free and moment.likeness.presence < _TRUSTED * self._usual()

    def _usual(self) -> float:
        """The presence of a picture that is well in place in this recording, after whatever its coding did."""
        return max(self._best_presence, default=SURE)

    def _better(self, found: Likeness, moment: Moment) -> bool:
        return moment.likeness is None or found.presence > moment.likeness.presence + _CLEARLY

    def _spread(self, moments: list[Moment], start: int) -> None:
        """Carry a free place to its neighbours in time, both ways, as long as it explains them."""
        for way in (1, -1):
            index, source = start + way, moments[start].likeness
            while 0 <= index < len(moments) and source is not None and _open(moments[index]):
                moment = moments[index]
                assert moment.screen is not None
                here = self._searcher.comparer.at(moment.screen, source.place, source.best)
                if here.presence < _AS_GOOD * source.presence:
                    moved = self._searcher.followed(moment.screen, source, self._steps(way))
                    here = max(here, moved, key=lambda each: each.presence)
                if here.presence < SEEN or not self._better(here, moment):
                    break
                moment.likeness, moment.free, source = here, True, here
                index += way

    def _steps(self, way: int) -> tuple[int, ...]:
        """Frames from one moment to the next while paused and while playing."""
        played = self._searcher.bank.rate / SAMPLES_A_SECOND
        return (0, way * int(played), way * (int(played) + 1))

    def _hold_still(self, moments: list[Moment]) -> None:
        """Give each run of moments at nearly the same free place one place, settled over the frames it shows."""
        size, searcher = self._searcher.bank.size, self._searcher
        run: list[Moment] = []
        for moment in [*moments, Moment(0.0, None)]:
            if run and moment.free and _near(run[-1], moment, size):
                run.append(moment)
                continue
            if len(run) > 2:
                pairs = [(each.screen, each.likeness) for each in run if each.screen and each.likeness]
                place = self._best_settled(pairs)
                for each in run:
                    assert each.screen is not None
                    held = searcher.comparer.at(each.screen, place, each.likeness.best if each.likeness else None)
                    if each.likeness is None or held.presence > each.likeness.presence - _CLEARLY / 2:
                        each.likeness = held
            run = [moment] if moment.free and moment.likeness else []

    def _best_settled(self, pairs: list[tuple[Screen, Likeness]]) -> Place:
        """The place of a run; zoomed in, a neighbouring frame at a place slightly off looks nearly the same."""
        searcher = self._searcher
        every = -(-len(pairs) // _RUN_VIEWS)
        some = pairs[::every]
        best, top = settled(searcher, some), -1.0
        chosen = best
        last = len(searcher.bank) - 1
        seen = [searcher.comparer.at(screen, best, likeness.best).best for screen, likeness in some]
        for by in _FRAMES_OFF:
            views = [View(pair[0], min(last, max(0, frame + by))) for pair, frame in zip(some, seen, strict=True)]
            place = searcher.refined(views, best)
            presence = sum(searcher.comparer.presence(view.screen, place, view.frame) for view in views)
            if presence > top:
                top, chosen = presence, place
        return chosen


def _near(one: Moment, two: Moment, size: tuple[int, int]) -> bool:
    return (
        one.likeness is not None
        and two.likeness is not None
        and one.likeness.place.apart(two.likeness.place, size) < _STILL
    )


def _open(moment: Moment) -> bool:
    return moment.likeness is None or moment.free


def _unchanged(one: Screen | None, two: Screen | None) -> bool:
    """Whether two screens show the same picture but for the noise of coding."""
    import cv2

    if one is None or two is None or one.size != two.size:
        return False
    rest = cv2.absdiff(one.picture, two.picture)
    wide, tall = one.size
    blocks = (max(1, wide // _UNCHANGED_BLOCK), max(1, tall // _UNCHANGED_BLOCK))
    return bool(cv2.resize(rest, blocks, interpolation=cv2.INTER_AREA).max() < _UNCHANGED_LEVELS)
