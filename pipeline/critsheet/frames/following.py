"""Pass two: at every sampled moment, the place of the shot's picture and how well each frame explains what is there."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING

from critsheet.frames.comparing import Likeness
from critsheet.frames.placing import Place, Screen
from critsheet.frames.searching import Searcher
from critsheet.frames.settling import FAINT, SEEN, SURE, best_settled, screen_of
from critsheet.frames.showing import SAMPLES_A_SECOND

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_THREADS = 2
_CHUNK = 50
"""Moments held in memory together: ten seconds."""
_WEAKLY, _SEEN_SHARE = 0.6, 0.5
"""Shares of the usual presence: below the first a settled place may be the wrong one, below the second it is empty."""
_AS_GOOD = 0.85
"""A settled place is kept while it explains this share of what it explained at best."""
_TRUSTED = 0.75
"""The share of the usual presence below which a free place is looked for again."""
_CLEARLY = 0.06
"""Presence by which a free place must beat a settled one."""
_STILL = 2.0
"""Pixels of the bank: places of a run that is zoomed but not zooming lie nearer than this."""
_LATELY = 2
"""Places of runs that are remembered."""
_SEARCHES, _FAILURES = 30, 3
"""Searches in one chunk, and vain ones after which the shot counts as gone; one is enough where it was gone before."""
_UNCHANGED_LEVELS, _UNCHANGED_BLOCK = 1.5, 16
"""Grey levels by which no block of pixels may differ, on average, for two pictures to count as one."""


@dataclass
class Moment:
    """A sampled second; `likeness` is None where the shot was not found.

    `free`: not at a settled place. `held`: free, at one place with its neighbours in time. `same`: nothing changed
    since the moment before. `trust`: presence as a share of what the recording usually reaches.
    `margin`: presence above what counts as seen.
    """

    seconds: float
    screen: Screen | None
    likeness: Likeness | None = None
    free: bool = False
    held: bool = False
    same: bool = False
    trust: float = 1.0
    margin: float = -SEEN


class Follower:
    """Follows one shot through one recording."""

    def __init__(self, searcher: Searcher, places: dict[Place, float]) -> None:
        self._searcher = searcher
        self._places = dict(places)
        """With the highest presence reached at each."""
        self._lately: list[Place] = []
        self._patience = _FAILURES
        self._fresh: Moment | None = None

    def follow(self, samples: "Iterator[tuple[float, NDArray[np.uint8]]]") -> Iterator[Moment]:
        """Every moment in order; a chunk of screens in memory at a time."""
        while chunk := [Moment(seconds, screen_of(picture)) for seconds, picture in islice(samples, _CHUNK)]:
            self._explain(chunk)
            for moment in chunk:
                if moment is not self._fresh:
                    moment.screen = None
            yield from chunk

    def _explain(self, chunk: list[Moment]) -> None:
        before = replace(self._fresh) if self._fresh is not None else None
        for moment in chunk:
            moment.same = self._fresh is not None and _unchanged(self._fresh.screen, moment.screen)
            self._fresh = self._fresh if moment.same else moment
        fresh = [moment for moment in chunk if not moment.same]
        self._try_settled(fresh)
        known = [before, *fresh] if before is not None else fresh
        for index, moment in enumerate(known):
            if moment.likeness is not None and moment.likeness.presence > _AS_GOOD * min(SURE, self._usual()):
                self._spread(known, index)
        self._hold_still(fresh)
        self._try_lately(known)
        self._search_gaps(fresh)
        self._hold_still(fresh)
        for moment in chunk:
            if moment.same and before is not None:
                moment.likeness, moment.free, moment.held = before.likeness, before.free, before.held
            if moment.likeness is not None:
                moment.margin = moment.likeness.presence - self._seen_from()
                moment.trust = min(1.0, moment.likeness.presence / self._usual())
            before = moment

    def _try_settled(self, moments: list[Moment]) -> None:
        """The settled place that explains most of each moment; places that were right lately are tried first."""
        with ThreadPoolExecutor(_THREADS) as pool:
            tries = list(pool.map(self._best_settled_at, moments))
        for moment, (best, place) in zip(moments, tries, strict=True):
            if best is not None and place is not None and best.presence > self._seen_from():
                moment.likeness = best
                moment.free = best.presence < _WEAKLY * self._places[place]
                self._places[place] = max(self._places[place], best.presence)
        lately = next(
            (place for best, place in reversed(tries) if best is not None and best.presence > self._seen_from()), None
        )
        if lately is not None:
            self._places = {lately: self._places.pop(lately), **self._places}
        for moment in moments:
            if moment.screen is not None and self._places and (moment.likeness is None or moment.free):
                # zoomed in perhaps: a viewer shows pictures where it showed them before
                moment.screen.window = next(iter(self._places)).area(self._searcher.bank.size)

    def _best_settled_at(self, moment: Moment) -> tuple[Likeness | None, Place | None]:
        assert moment.screen is not None
        best: tuple[Likeness | None, Place | None] = None, None
        for place, usual in self._places.items():
            likeness = self._searcher.comparer.at(moment.screen, place)
            if best[0] is None or likeness.presence > best[0].presence:
                best = likeness, place
            if likeness.presence > _AS_GOOD * usual:
                break
        return best

    def _try_lately(self, moments: list[Moment]) -> None:
        """Unexplained moments at the places where the picture lay zoomed in lately: it may have been out of sight."""
        for index, moment in enumerate(moments):
            for place in self._lately if moment.likeness is None else ():
                assert moment.screen is not None
                here = self._searcher.comparer.at(moment.screen, place)
                if here.presence > _TRUSTED * self._usual():
                    moment.likeness, moment.free = here, True
                    self._spread(moments, index)
                    break

    def _search_gaps(self, moments: list[Moment]) -> None:
        """Look for the picture in stretches that no settled place explains: at their ends, then halfway, and so on."""
        failures, found_any = 0, False
        tried: set[int] = set()
        while failures < self._patience and len(tried) < _SEARCHES:
            index = self._next_try(moments, tried)
            if index is None:
                break
            tried.add(index)
            moment = moments[index]
            assert moment.screen is not None
            found = self._searcher.search(moment.screen)
            if found is not None and found.presence > self._seen_from() and self._better(found, moment):
                moment.likeness, moment.free = found, True
                self._spread(moments, index)
                failures, found_any = 0, True
            elif moment.likeness is None:
                failures += 1
        self._patience = 1 if tried and not found_any else _FAILURES

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

    def _seen_from(self) -> float:
        """The presence from which the shot counts as seen: less where harsh coding leaves less of it."""
        return min(SEEN, max(FAINT, _SEEN_SHARE * self._usual()))

    def _usual(self) -> float:
        """The presence of a picture that is well in place in this recording, after whatever its coding did."""
        return max(self._places.values(), default=SURE)

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
                if here.presence < self._seen_from() or not self._better(here, moment):
                    break
                moment.likeness, moment.free, source = here, True, here
                index += way

    def _steps(self, way: int) -> tuple[int, ...]:
        """Frames from one moment to the next while paused, while playing, and while playing at half speed."""
        played = int(self._searcher.bank.rate / SAMPLES_A_SECOND)
        return tuple(way * step for step in (0, played, played + 1, played // 2, played // 2 + 1))

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
                place = best_settled(searcher, pairs)
                self._lately = [place, *self._lately][:_LATELY]
                for each in run:
                    assert each.screen is not None
                    held = searcher.comparer.at(each.screen, place, each.likeness.best if each.likeness else None)
                    if each.likeness is None or held.presence > each.likeness.presence - _CLEARLY / 2:
                        each.likeness, each.held = held, True
            run = [moment] if moment.free and moment.likeness else []


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
