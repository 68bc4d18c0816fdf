"""Playhead logs: CSV files that say which frame of the shot was on screen, and when.

A log in the form `seconds,frame` has a row wherever a player or a script wrote one; between two rows the shot plays
where their distance is that of playing, and is held otherwise. The form `seconds,first,last,confidence` is the one
that Critsheet writes: a row a sample, each holding until the next. Empty frames say that the shot is not on screen.
"""

import csv
import io
import math
import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from critsheet.errors import InputError
from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing
from critsheet.media import MAX_SECONDS
from critsheet.sheet import Shot

MAX_LOG_BYTES = 64_000_000
"""A row for each of 60 frames a second over four hours takes 12 MB; anything far above is another file."""

SLOWEST, FASTEST = 1 / 8, 4.0
"""Of the shot's rate: the speeds at which hands scrub. Between rows at another speed lies a pause or a jump."""

SCRUB_S = 1.0
"""Rows further apart than this were not written during a scrub: the shot played at a player's speed, or it stood."""

SPEEDS = (1 / 4, 1 / 2, 1.0, 2.0, 4.0)
"""Of the shot's rate: the speeds that players offer."""

_NEAR = 0.1
"""How far, as a share, a speed may miss a player's: logs round times and frames."""

_FORMS = ("seconds", "frame"), ("seconds", "first", "last", "confidence")
_HINT = "Write a row as seconds,frame or as seconds,first,last,confidence: 12.4,142."
_FRAME = re.compile(r"-?\d{1,7}")
_HELD = 1e-6
"""Seconds: sample times are exact in decimal, and a row written at one must not count as just after it."""


@dataclass(frozen=True)
class _Row:
    seconds: float
    span: tuple[int, int] | None
    confidence: float


def read_log(path: Path, length_s: float, shot: Shot) -> Playhead:
    """The log as a playhead over a recording of `length_s` seconds, source "logged".

    Before its first row nothing is known; after the last one its frame is held. Frames outside the shot count as
    not on screen. Raises InputError that names the line for anything that is no such log.
    """
    rows, played = _rows(path)
    inside = [row if row.span and _in_shot(row.span, shot) else _away(row) for row in rows]
    if not any(row.span for row in inside):
        known = f", {shot.first}–{shot.last}" if shot.first is not None else ""
        raise InputError(
            f"No frame in {path} is one of the shot{known}.", "Give --frames as the log counts, or another log."
        )
    starts = [row.seconds for row in inside]
    showings = []
    for number in range(int(length_s * SAMPLES_A_SECOND) + 1):
        seconds = number / SAMPLES_A_SECOND
        place = bisect_right(starts, seconds + _HELD) - 1
        showings.append(_showing(inside, place, seconds, shot if played else None))
    return Playhead(tuple(showings), "logged")


def to_csv(playhead: Playhead) -> str:
    """The playhead as text, a row a sample: `seconds,first,last,confidence`, the likeliest frames where several fit."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_FORMS[1])
    for showing in playhead.showings:
        first, last = showing.spans[0] if showing.spans else ("", "")
        writer.writerow((f"{showing.seconds:.1f}", first, last, f"{showing.confidence:.3f}"))
    return out.getvalue()


def _showing(rows: Sequence[_Row], place: int, seconds: float, playing: Shot | None) -> Showing:
    if place < 0:
        return Showing(seconds, (), 0.0)
    row = rows[place]
    following = rows[place + 1] if place + 1 < len(rows) else None
    span = row.span
    if span and playing and following and following.span:
        frame = _played(row, following, seconds, playing)
        span = (frame, frame)
    return Showing(seconds, (span,) if span else (), row.confidence)


def _played(row: _Row, following: _Row, seconds: float, shot: Shot) -> int:
    """The frame at a time between two rows of one frame each."""
    assert row.span is not None and following.span is not None
    here, there, gap_s = row.span[0], following.span[0], following.seconds - row.seconds
    share = (seconds - row.seconds) / gap_s
    first, last, rate = shot.first, shot.last, float(shot.rate)
    if there < here and first is not None and last is not None:
        length = last - first + 1
        if _is_players((there + length - here) / gap_s / rate, 1.0):
            return first + (here - first + int(share * (there + length - here))) % length
    speed = abs(there - here) / gap_s / rate
    scrubbed = gap_s <= SCRUB_S and SLOWEST <= speed <= FASTEST
    return here + int(share * (there - here)) if scrubbed or _is_players(speed, *SPEEDS) else here


def _is_players(speed: float, *speeds: float) -> bool:
    return any(abs(speed / offered - 1) <= _NEAR for offered in speeds)


def _in_shot(span: tuple[int, int], shot: Shot) -> bool:
    after_start = shot.first is None or shot.first <= span[0]
    return after_start and (shot.last is None or span[1] <= shot.last)


def _away(row: _Row) -> _Row:
    return _Row(row.seconds, None, row.confidence)


def _rows(path: Path) -> tuple[list[_Row], bool]:
    """All rows in order, one a time, and whether the shot may play between them."""
    table = list(_cells(path))
    if table and [cell.lower() for cell in table[0][1]] in list(map(list, _FORMS)):
        header = table.pop(0)[1]
    elif table:
        header = table[0][1]
    else:
        raise InputError(f"{path} is empty.", _HINT)
    rows: list[_Row] = []
    for line, cells in table:
        if len(cells) != len(header) or len(cells) not in map(len, _FORMS):
            raise _wrong(path, line, f"{len(cells)} values")
        row = _row(path, line, cells)
        if rows and row.seconds < rows[-1].seconds:
            raise InputError(f"{path}, line {line}: the time goes back to {row.seconds:g} s.", "Sort the rows by time.")
        if rows and row.seconds == rows[-1].seconds:
            rows.pop()  # two rows of one time are a jump: where it led counts
        rows.append(row)
    return rows, len(header) == len(_FORMS[0])


def _cells(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Each line that is not empty: its number and its values."""
    try:
        with path.open("rb") as file:
            content = file.read(MAX_LOG_BYTES + 1)
    except OSError as error:
        raise InputError(f"Cannot read {path}: {error.strerror or error}.", "Check the name of the log.") from error
    if len(content) > MAX_LOG_BYTES:
        raise InputError(f"{path} is too large to be a playhead log.", _HINT)
    try:
        reader = csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True)
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield reader.line_num, [cell.strip() for cell in cells]
    except (UnicodeDecodeError, csv.Error) as error:
        raise InputError(f"{path} is not a playhead log.", _HINT) from error


def _row(path: Path, line: int, cells: list[str]) -> _Row:
    seconds = _number(path, line, cells[0], "a time in seconds", MAX_SECONDS)
    first, last = cells[1], cells[2] if len(cells) > len(_FORMS[0]) else cells[1]
    sure = _number(path, line, cells[-1], "a confidence from 0 to 1", 1.0) if len(cells) > len(_FORMS[0]) else 1.0
    if not first and not last:
        return _Row(seconds, None, sure)
    for frame in (first, last):
        if not _FRAME.fullmatch(frame):
            raise _wrong(path, line, f"{frame[:30]!r} is no frame")
    if int(first) > int(last):
        raise _wrong(path, line, f"frames {first} to {last} run backwards")
    return _Row(seconds, (int(first), int(last)), sure)


def _number(path: Path, line: int, text: str, what: str, most: float) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not 0 <= value <= most:
        raise _wrong(path, line, f"{text[:30]!r} is not {what}")
    return value


def _wrong(path: Path, line: int, what: str) -> InputError:
    return InputError(f"{path}, line {line}: {what}.", _HINT)
