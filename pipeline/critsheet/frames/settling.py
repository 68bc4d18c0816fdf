"""Pass one: the places where the shot's picture lies for long, settled over moments that show different frames."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from critsheet.frames.comparing import Likeness
from critsheet.frames.placing import Place, Screen
from critsheet.frames.refining import View
from critsheet.frames.searching import NEAR, Searcher
from critsheet.media.pictures import Film

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_Group = list[tuple[Screen, Likeness]]
"""Screens on which the picture lies at one place, and what was seen there."""

SEEN = 0.3
"""Presence from which a picture counts as the shot's. Measured: strangers reach 0.2, the shot zoomed in has 0.4."""
FAINT = 0.18
"""Presence from which harshly coded recordings, in which no more is reached, are looked into further."""
SURE = 0.6
"""Presence from which a found place is trusted to start from."""
CLOSE = 6.0
"""Pixels of the bank: places nearer to each other are tries at the same one."""
SCREEN_WIDTH = 1280
_LOOKS, _LEAST_KEYS = 32, 12
_SWEPT_EVERY, _MOST_SWEPT = 4, 8
"""Looks that are swept where no features are found."""
_WITNESSES, _FAINTLY_CLOSE = 3, 12.0
"""Faint finds that must agree, and pixels of the bank within which they do."""
_PLACES = 6
_VIEWS = 10
_SETTLING_ROUNDS = 3
_FRAMES_OFF, _FEW_VIEWS = (0, -1, 1, -2, 2, -4, 4), 5
_UNSTRETCHED = 0.015
"""Proportions nearer than this to the shot's own are the shot's own."""


def screen_of(picture: "NDArray[np.uint8]") -> Screen:
    """A recorded picture as a screen, very large ones made smaller."""
    import cv2

    tall, wide = picture.shape
    if wide > SCREEN_WIDTH:
        size = (SCREEN_WIDTH, round(tall * SCREEN_WIDTH / wide))
        picture = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    return Screen(picture)


def settle(film: Film, searcher: Searcher, tell: Callable[[float], None]) -> dict[Place, float]:
    """The places that last, the one seen most first, with the presence usual there.

    Sets the searcher's `stretch` to what it finds.
    """
    searcher.stretch = None
    groups, perhaps, some = list[_Group](), list[_Group](), list[Screen]()
    for number, picture in enumerate(_looks(film)):
        screen = screen_of(picture)
        tell(min(1.0, number / _LOOKS))
        if number % _SWEPT_EVERY == 0:
            some.append(screen)
        known = _known(searcher, groups, screen)
        if known is not None:
            known.append((screen, searcher.comparer.at(screen, known[0][1].place)))
        else:
            _take(searcher, searcher.search(screen), screen, groups, perhaps)
    if not groups and not perhaps:
        searcher.stretch = 1.0
        for screen in some[:_MOST_SWEPT]:
            _take(searcher, searcher.sweep(screen), screen, groups, perhaps)
    groups = groups or [group for group in perhaps if len(group) >= _WITNESSES]
    groups.sort(key=lambda group: -len(group))
    searcher.stretch = _stretch(searcher, groups)
    return dict(_apart(searcher, groups)[:_PLACES])


def _take(
    searcher: Searcher, found: Likeness | None, screen: Screen, groups: "list[_Group]", perhaps: "list[_Group]"
) -> None:
    """A sure find starts a group; fainter ones must agree with each other on a place."""
    if found is None or found.presence < FAINT:
        return
    if found.presence > SURE:
        groups.append([(screen, found)])
        return
    size = searcher.bank.size
    near = (group for group in perhaps if group[0][1].place.apart(found.place, size) < _FAINTLY_CLOSE)
    group = next(near, None)
    if group is None:
        perhaps.append([(screen, found)])
    else:
        group.append((screen, found))


def settled(searcher: Searcher, group: _Group) -> Place:
    """The one place that suits all of a group, brought into register with several frames at once."""
    seen = {likeness.best: screen for screen, likeness in group}
    frames = sorted(seen)
    frames = frames[:: -(-len(frames) // _VIEWS)]
    screens = [seen[frame] for frame in frames]
    place = searcher.proportioned(max((likeness for _, likeness in group), key=lambda each: each.presence).place)
    for _ in range(_SETTLING_ROUNDS):
        frames = [
            searcher.comparer.at(screen, place, frame).best for screen, frame in zip(screens, frames, strict=True)
        ]
        views = [View(screen, frame) for screen, frame in zip(screens, frames, strict=True)]
        place = searcher.refined(views, place)
    return place


def best_settled(searcher: Searcher, group: _Group) -> Place:
    """The same, other frames tried as well: on a plain ground a neighbour slightly off looks nearly the same."""
    best = settled(searcher, group)
    some = group[:: -(-len(group) // _FEW_VIEWS)]
    last = len(searcher.bank) - 1
    seen = [searcher.comparer.at(screen, best, likeness.best).best for screen, likeness in some]
    top, chosen = float("-inf"), best
    for by in _FRAMES_OFF:
        views = [View(pair[0], min(last, max(0, frame + by))) for pair, frame in zip(some, seen, strict=True)]
        place = searcher.refined(views, best, NEAR)
        fit = sum(searcher.comparer.fit(view.screen, place, view.frame) for view in views)
        if fit > top:
            top, chosen = fit, place
    return chosen


def _looks(film: Film) -> "Iterator[NDArray[np.uint8]]":
    """Pictures spread over the recording: those stored whole, which cost least, or any where these are few."""
    keys = sum(1 for _ in film.pictures(key_only=True)) if film.duration_s else 0
    if keys >= _LEAST_KEYS:
        every = max(1, keys // _LOOKS)
        yield from (picture for number, (_, picture) in enumerate(film.pictures(key_only=True)) if number % every == 0)
        return
    gap_s, due_s = max(film.duration_s / _LOOKS, 0.4), 0.0
    for seconds, picture in film.pictures():
        if seconds >= due_s:
            due_s = seconds + gap_s
            yield picture


def _known(searcher: Searcher, groups: list[_Group], screen: Screen) -> _Group | None:
    """The group whose place explains a screen as well as it explained its first."""
    for group in groups:
        first = group[0][1]
        if searcher.comparer.at(screen, first.place).presence > max(SURE, 0.85 * first.presence):
            return group
    return None


def _stretch(searcher: Searcher, groups: list[_Group]) -> float:
    """How the largest group's picture departs from the shot's proportions; 1 where hardly."""
    if not groups:
        return 1.0
    place = settled(searcher, groups[0])
    (wide, tall), (width, height) = searcher.bank.size, searcher.bank.shape
    ratio = (place.sx * wide / width) / (place.sy * tall / height)
    return 1.0 if abs(ratio - 1) < _UNSTRETCHED else ratio


def _apart(searcher: Searcher, groups: "list[_Group]") -> list[tuple[Place, float]]:
    """The groups' places without those nearly at another's, and the presence that each group reaches."""
    kept: list[tuple[Place, float]] = []
    for group in groups:
        place = best_settled(searcher, group)
        if all(place.apart(other, searcher.bank.size) > CLOSE for other, _ in kept):
            reached = [searcher.comparer.at(screen, place, seen.best).presence for screen, seen in group]
            kept.append((place, max(*reached, FAINT)))
    return kept
