"""Pictures for the notes: the screen at the moment that shows most, the clean frame of the shot, frames around it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from critsheet.frames.combining import PLAYED, Combined, Look
from critsheet.frames.drawing import drawn_share
from critsheet.frames.picturing import Pictures, cut, narrowed, side_by_side, webp
from critsheet.frames.shot_files import ShotFile
from critsheet.frames.showing import Playhead, Showing
from critsheet.frames.timebase import TimeBase
from critsheet.media.colour import pictures_at
from critsheet.screen import Still
from critsheet.sheet import Note, Shot

if TYPE_CHECKING:
    from critsheet.frames.picturing import Colour

SCREEN_ACROSS, FRAME_ACROSS, STRIP_ACROSS = 640, 480, 160
"""Pixels: the screen has to show thin strokes, the clean frame is for comparing, the strip for finding the place."""

MOST_VIEWS = 2
"""Places shown a note; more would turn the sheet into a film."""

TRIES = 6
"""Moments of a pause that are looked at for the fullest drawing."""

DRAWS_ON_S = 6.0
"""A mentor may finish a drawing this long after the words."""

COVERED = 0.5
"""More of the picture than this is not drawn on but hidden, by a menu or another window."""

AS_FULL = 0.95
"""Of the fullest drawing: a later moment with this much is as good, and finished."""

STRIP = 7
"""Frames in a strip, an odd number, so that the one meant stands in the middle."""


@dataclass(frozen=True)
class Sources:
    """The files that stills are cut from; `recording` is None where it has no pictures, `shot_file` where not given."""

    recording: Path | None
    shot_file: ShotFile | None
    shot: Shot


@dataclass
class _View:
    """One place of a note: the moments that may show it best, and the best one so far."""

    first: int
    last: int
    tries: tuple[Showing, ...] = ()
    best: "tuple[Showing, Colour] | None" = None
    share: float = field(default=-1.0)


def cut_stills(
    combined: Sequence[Combined], playhead: Playhead | None, sources: Sources, tell: Callable[[float], None]
) -> tuple[list[Note], dict[str, bytes]]:
    """The notes with their stills, and the stills' files by name; both as they were where there is nothing to cut."""
    views = {place: _views(one, combined, playhead, sources) for place, one in enumerate(combined)}
    shot = _shot_pictures([view for several in views.values() for view in several], sources)
    _watch([view for several in views.values() for view in several], shot, sources.recording, tell)
    notes, files = [], {}
    for place, one in enumerate(combined):
        stills = []
        for number, view in enumerate(views[place], start=1):
            for still, content in _pictures_of(view, shot, sources.shot, f"stills/{one.note.id}-{number}"):
                stills.append(still)
                files[still.file] = content
        notes.append(one.note.model_copy(update={"stills": tuple(stills)}))
    return notes, files


def _views(one: Combined, all_notes: Sequence[Combined], playhead: Playhead | None, sources: Sources) -> list[_View]:
    """The places of a note: those looked at most, then one that was said and is none of them."""
    views = []
    for look in one.looks[:MOST_VIEWS]:
        tries: tuple[Showing, ...] = ()
        if playhead and sources.recording and look.manner != PLAYED:
            tries = _tries(look, one, all_notes, playhead, place_needed=sources.shot_file is not None)
        views.append(_View(look.first, look.last, tries))
    told = [span for span in one.note.frames if span.source in {"said", "by hand"}]
    said = [span for span in told if _in_shot(span.first, sources.shot)]
    unseen = [span for span in said if not any(view.first - STRIP < span.first < view.last + STRIP for view in views)]
    if unseen and sources.shot_file:
        views.append(_View(unseen[0].first, unseen[0].last))
    return views[:MOST_VIEWS]


def _tries(
    look: Look, one: Combined, all_notes: Sequence[Combined], playhead: Playhead, *, place_needed: bool
) -> tuple[Showing, ...]:
    """Moments spread over a pause, its last one among them, from the note's words to those of the next.

    With `place_needed` only those whose place on the screen is known: the rest of a screen may be private.
    """
    begins = min((m.start for m in one.note.moments if m.end > look.start_s), default=look.start_s)
    ends = max((m.end for m in one.note.moments if m.start < look.end_s), default=look.end_s)
    others = [m.start for other in all_notes if other is not one for m in other.note.moments if m.start >= ends]
    until = min([look.end_s, ends + DRAWS_ON_S, *others])
    found = [
        showing
        for showing in playhead.showings
        if max(look.start_s, begins) <= showing.seconds < until and showing.spans
        if look.first <= showing.spans[0][1] and showing.spans[0][0] <= look.last
        if showing.area or not place_needed
    ]
    step = max(1, ceil(len(found) / TRIES))
    return tuple(found[::-1][::step][:TRIES][::-1])


def _shot_pictures(views: Sequence[_View], sources: Sources) -> Pictures:
    """The frames of the shot that the views need, small."""
    file, shot = sources.shot_file, sources.shot
    large = {_middle(showing.spans[0]) for view in views for showing in view.tries}
    large |= {_middle((view.first, view.last)) for view in views}
    small = {frame for view in views for frame in _strip(view, shot)}
    pictures = Pictures()
    if file is None or shot.first is None or not views:
        return pictures
    base = TimeBase(file.rate, shot.first)
    # The middle of each frame's time: how its edges were rounded doesn't matter then.
    half = 1 / (2 * file.rate)
    due = {float(base.start_of(frame) + half): frame for frame in large | small if _in_shot(frame, shot)}
    for seconds, picture in pictures_at(file.path, sorted(due)):
        frame = due[seconds]
        if frame in large:
            pictures.large[frame] = narrowed(picture, SCREEN_ACROSS)
        if frame in small:
            pictures.small[frame] = narrowed(picture, STRIP_ACROSS)
    return pictures


def _watch(views: Sequence[_View], shot: Pictures, recording: Path | None, tell: Callable[[float], None]) -> None:
    """Look at the recording at each moment to try, and keep for each view the picture with the fullest drawing."""
    wanted: dict[float, list[tuple[_View, Showing]]] = {}
    for view in views:
        for showing in view.tries:
            wanted.setdefault(showing.seconds, []).append((view, showing))
    if recording is None or not wanted:
        return
    for number, (seconds, picture) in enumerate(pictures_at(recording, sorted(wanted)), start=1):
        for view, showing in wanted[seconds]:
            screen, visible = cut(picture, showing.area)
            clean = shot.large.get(_middle(showing.spans[0])) if showing.area else None
            share = 0.0
            if clean is not None:
                # Some mentors look at the shot mirrored.
                share = min(drawn_share(screen, visible.of(way)) for way in (clean, clean[:, ::-1]))
            if share > COVERED:
                share = -share
            if view.best is None or share >= AS_FULL * view.share:
                view.best, view.share = (showing, narrowed(screen, SCREEN_ACROSS)), max(share, view.share)
        tell(number / len(wanted))


def _pictures_of(view: _View, shot: Pictures, numbering: Shot, name: str) -> list[tuple[Still, bytes]]:
    found: list[tuple[Still, bytes]] = []

    def add(
        kind: Literal["screen", "frame", "strip"], picture: "Colour", frames: tuple[int, ...], at: float | None
    ) -> None:
        height, width = picture.shape[:2]
        still = Still(file=f"{name}-{kind}.webp", kind=kind, frames=frames, seconds=at, width=width, height=height)
        found.append((still, webp(picture)))

    frame = _middle((view.first, view.last))
    if view.best:
        showing, picture = view.best
        frame = _middle(showing.spans[0])
        add("screen", picture, (frame,), showing.seconds)
    if frame in shot.large:
        add("frame", narrowed(shot.large[frame], FRAME_ACROSS), (frame,), None)
    strip = [frame for frame in _strip(view, numbering) if frame in shot.small]
    if len(strip) > 1:
        add("strip", side_by_side([shot.small[frame] for frame in strip]), tuple(strip), None)
    return found


def _strip(view: _View, shot: Shot) -> list[int]:
    """Frames one by one around a place, or spread evenly over a long one, all of the shot."""
    first, last = view.first, view.last
    if last - first < STRIP:
        first = _middle((first, last)) - STRIP // 2
        last = first + STRIP - 1
        late = max(0, last - shot.last) if shot.last is not None else 0
        early = max(0, shot.first - first) if shot.first is not None else 0
        first, last = first - late + early, last - late + early
    spread = [first + round((last - first) * place / (STRIP - 1)) for place in range(STRIP)]
    return [frame for frame in dict.fromkeys(spread) if _in_shot(frame, shot)]


def _middle(span: tuple[int, int]) -> int:
    return (span[0] + span[1]) // 2


def _in_shot(frame: int, shot: Shot) -> bool:
    return (shot.first is None or shot.first <= frame) and (shot.last is None or frame <= shot.last)
