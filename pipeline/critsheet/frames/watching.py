"""Where the playhead comes from: a log, a stated offset, or the pictures of the recording.

A log is exact about frames, yet says nothing of where on the screen they were: for that the pictures are looked at too.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from critsheet.frames.logs import read_log
from critsheet.frames.offset import played_once
from critsheet.frames.shot_files import ShotFile
from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead
from critsheet.sheet import Shot

NO_PICTURES = "the recording has no pictures, so no frames could be read off the screen"
NOT_SEEN = "the shot was not seen in the recording; check that both belong together"


@dataclass(frozen=True)
class Watched:
    """`playhead` is None where nothing tells what was on screen; `doubts` say in plain words what is missing."""

    playhead: Playhead | None
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Evidence:
    """What may tell which frame was on screen, the surest first. `film` is the recording if it has pictures."""

    log: Path | None
    offset_s: float | None
    film: Path | None
    shot_file: ShotFile | None


def watch(evidence: Evidence, length_s: float, shot: Shot, tell: Callable[[str, float], None]) -> Watched:
    """The playhead of a recording of `length_s` seconds; `tell` hears the stage at work and its share done.

    Raises InputError for a log or a shot that cannot be used.
    """
    if evidence.offset_s is not None:
        return Watched(played_once(evidence.offset_s, length_s, shot))
    log = read_log(evidence.log, length_s, shot) if evidence.log else None
    if evidence.shot_file is None:
        return Watched(log)
    if evidence.film is None:
        return Watched(log, () if log else (NO_PICTURES,))
    from critsheet.frames.matching import match_pictures

    shown = match_pictures(evidence.film, evidence.shot_file.path, shot.first or 1, tell)
    seen = any(showing.spans for showing in shown.showings)
    return Watched(_with_areas(log, shown) if log else shown, () if seen else (NOT_SEEN,))


def _with_areas(log: Playhead, shown: Playhead) -> Playhead:
    """The log, with the places on the screen that were found in the pictures."""
    areas = {round(showing.seconds * SAMPLES_A_SECOND): showing.area for showing in shown.showings}
    showings = (
        replace(showing, area=areas.get(round(showing.seconds * SAMPLES_A_SECOND))) if showing.spans else showing
        for showing in log.showings
    )
    return replace(log, showings=tuple(showings))
