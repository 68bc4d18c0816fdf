"""Playheads written by hand: what a mentor's player did, second by second, and notes spoken meanwhile."""

from collections.abc import Callable
from typing import Any

from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing
from critsheet.sheet import Moment, Note, Shot

SHOT = Shot(fps="24", first=101, last=188)
Frames = Callable[[float], int | None]


def playing(start: int, speed: float = 1.0, first: int = 101, last: int = 188) -> Frames:
    """The frame at a time from here on, round and round from `first` to `last`, at a share of 24 a second."""
    return lambda seconds: first + (start - first + int(seconds * 24 * speed + 1e-6)) % (last - first + 1)


def paused(frame: int) -> Frames:
    return lambda seconds: frame


def away(seconds: float) -> None:
    """Another window."""
    return


def playhead(*parts: tuple[float, Frames], confidence: float = 1.0, width: int = 1) -> Playhead:
    """Parts of so many seconds each; `width` is how many frames look the same."""
    showings = []
    for seconds, frame_at in parts:
        for number in range(round(seconds * SAMPLES_A_SECOND)):
            frame = frame_at(number / SAMPLES_A_SECOND)
            spans = () if frame is None else ((frame, frame + width - 1),)
            showings.append(Showing(len(showings) / SAMPLES_A_SECOND, spans, confidence))
    return Playhead(tuple(showings), "shown")


def note(*moments: tuple[float, float], name: str = "n1", **labels: Any) -> Note:
    """A note spoken at these times, from second to second."""
    spoken = tuple(Moment(start=start, end=end, quote="This foot here.") for start, end in moments)
    return Note(id=name, kind="fix", category="contact", moments=spoken, action="Plant the foot.", rank=1, **labels)
