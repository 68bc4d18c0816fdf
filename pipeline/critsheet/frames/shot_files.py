"""What a shot's file tells about its frames: how many there are, how fast they go, and so how they are numbered."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from critsheet.errors import InputError
from critsheet.frames.timebase import parse_rate
from critsheet.media import sha256
from critsheet.media.opening import open_recording
from critsheet.media.pictures import open_film
from critsheet.sheet import Note, Shot

ONE_RATE = Fraction(1, 200)
"""Rates this close are one: people write 24 for 23.976."""

SLACK = 1
"""Frames by which a typed range may miss the file's length: whether the last frame counts is often mistaken."""

_LONGEST_HOLD_S = 2.0
"""As in reading the pictures: a longer gap between two frames is a fault of the file's time stamps."""


@dataclass(frozen=True)
class ShotFile:
    """A film of the shot: `frames` is how many it shows at `rate` a second, `sha256` its fingerprint in hex."""

    path: Path
    sha256: str
    rate: Fraction
    frames: int


def read_shot(path: Path) -> ShotFile:
    """What the file holds, without decoding it. Raises InputError where it holds no pictures."""
    film = open_film(path)
    with open_recording(path) as container:
        stream = container.streams.best("video")
        times = sorted(
            float(packet.pts * packet.time_base)
            for packet in container.demux(stream)
            if packet.pts is not None and packet.time_base is not None
        )
    frames = 1 if times else max(1, round(film.duration_s * film.rate))
    for before, after in zip(times, times[1:], strict=False):
        # A frame that its file stores once and holds longer is shown, and counted, more than once.
        frames += max(1, round((after - before) * film.rate)) if after - before < _LONGEST_HOLD_S else 1
    return ShotFile(path, sha256(path), film.rate, frames)


def misnumbered(shot: Shot, notes: Sequence[Note]) -> tuple[str, ...]:
    """A doubt where numbers were said that a shot counted from 1 does not have: the production counts otherwise."""
    said = [span.last for note in notes for span in note.frames if span.source == "said"]
    if shot.last is None or max(said, default=0) <= shot.last:
        return ()
    return (f"frames up to {max(said)} were said, but the shot counts {shot.first}–{shot.last}; give --frames",)


def as_said(shot: Shot, *, typed: bool) -> Shot:
    """The shot as far as a mentor's numbers surely follow it, which is only where its range was typed.

    A file counted from 1 may be 1001 in the production.
    """
    return shot if typed else Shot(fps=shot.fps)


def numbered(file: ShotFile | None, fps: str | None, first: int | None, last: int | None) -> Shot:
    """The shot's numbering: as typed, and what was not typed as the file has it, counted from 1.

    Raises InputError where the file and what was typed do not go together.
    """
    if file is None:
        return Shot(fps=fps or "24", first=first, last=last)
    rate = parse_rate(fps) if fps else file.rate
    if abs(rate / file.rate - 1) > ONE_RATE:
        raise InputError(
            f"--fps {fps}, but {file.path} has {float(file.rate):.5g} frames a second.",
            "Leave out --fps, or give the shot's file at the rate it was made in.",
        )
    start = 1 if first is None else first
    end = start + file.frames - 1
    if last is not None and abs(end - last) > SLACK:
        raise InputError(
            f"--frames {start}-{last} counts {last - start + 1} frames, but {file.path} has {file.frames}.",
            f"Give --frames {start}-{end}, or a file of just these frames.",
        )
    name = file.path.name.encode("utf-8", "replace").decode()
    return Shot(
        name=Path(name).stem, file=name, sha256=file.sha256, fps=str(rate), first=start, last=last if last else end
    )
