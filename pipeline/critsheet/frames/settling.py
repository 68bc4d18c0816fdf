"""Pass one: the places where the shot's picture lies for long, settled over moments that show different frames."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from critsheet.frames.comparing import Likeness
from critsheet.frames.placing import Place, Screen
from critsheet.frames.refining import View
from critsheet.frames.searching import Searcher
from critsheet.media.pictures import Film

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SEEN = 0.3
"""Presence from which a picture counts as the shot's. Measured: strangers reach 0.2, the shot zoomed in has 0.4."""
SURE = 0.6
"""Presence from which a found place is trusted to start from."""
CLOSE = 6.0
"""Pixels of the bank: places nearer to each other are tries at the same one."""
SCREEN_WIDTH = 1280
_LOOKS, _LEAST_KEYS = 32, 12
_PLACES = 6
_VIEWS = 10
_SETTLING_ROUNDS = 3
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


def settle(film: Film, searcher: Searcher, tell: Callable[[float], None]) -> list[Place]:
    """The places that last, the one seen most first. Sets the searcher's `stretch` to what it finds."""
    searcher.stretch = None
    groups: list[list[tuple[Screen, Likeness]]] = []
    for number, picture in enumerate(_looks(film)):
        screen = screen_of(picture)
        tell(min(1.0, number / _LOOKS))
        known = _known(searcher, groups, screen)
        if known is not None:
            known.append((screen, searcher.comparer.at(screen, known[0][1].place)))
            continue
        found = searcher.search(screen)
        if found is not None and found.presence > SURE:
            groups.append([(screen, found)])
    groups.sort(key=lambda group: -len(group))
    searcher.stretch = _stretch(searcher, groups)
    return _apart(searcher, [settled(searcher, group) for group in groups])[:_PLACES]


def settled(searcher: Searcher, group: list[tuple[Screen, Likeness]]) -> Place:
    """The one place that suits all of a group, brought into register with several frames at once."""
    seen = {likeness.best: screen for screen, likeness in group}
    frames = sorted(seen)
    frames = frames[:: -(-len(frames) // _VIEWS)]
    screens = [seen[frame] for frame in frames]
    place = searcher.proportioned(max((likeness for _, likeness in group), key=lambda each: each.presence).place)
    for _ in range(_SETTLING_ROUNDS):
        frames = [searcher.comparer.at(screen, place, frame).best for screen, frame in zip(screens, frames, strict=True)]
        views = [View(screen, frame) for screen, frame in zip(screens, frames, strict=True)]
        place = searcher.refined(views, place)
    return place


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


def _known(
    searcher: Searcher, groups: list[list[tuple[Screen, Likeness]]], screen: Screen
) -> list[tuple[Screen, Likeness]] | None:
    """The group whose place explains a screen as well as it explained its first."""
    for group in groups:
        first = group[0][1]
        if searcher.comparer.at(screen, first.place).presence > max(SURE, 0.85 * first.presence):
            return group
    return None


def _stretch(searcher: Searcher, groups: list[list[tuple[Screen, Likeness]]]) -> float:
    """How the largest group's picture departs from the shot's proportions; 1 where hardly."""
    if not groups:
        return 1.0
    place = settled(searcher, groups[0])
    (wide, tall), (width, height) = searcher.bank.size, searcher.bank.shape
    ratio = (place.sx * wide / width) / (place.sy * tall / height)
    return 1.0 if abs(ratio - 1) < _UNSTRETCHED else ratio


def _apart(searcher: Searcher, places: list[Place]) -> list[Place]:
    kept: list[Place] = []
    for place in places:
        if all(place.apart(other, searcher.bank.size) > CLOSE for other in kept):
            kept.append(place)
    return kept
