"""The plain words and the order that every format shares: groups, clock times, frames, cautions."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from critsheet.sheet import FrameRange, Note, Repair, Sheet

_SURE = {"said": 0.999, "by hand": 0.0, "shown": 0.7, "logged": 0.7, "placed": 0.999}
"""A frame range below this confidence is shown as doubtful: a number is said exactly or not, a look is never exact."""

_SOURCES = {
    "said": "",
    "by hand": "",
    "shown": " (shown on screen)",
    "logged": " (from the playhead log)",
    "placed": " (by its place)",
}

FIRST, THEN, TIME, KEEP, PLAN = "first", "then", "time", "keep", "plan"
_GROUPS = (
    (FIRST, "Do first", "What the mentor wants before anything else."),
    (THEN, "Then", "In the order that saves doing work twice."),
    (TIME, "If there is time", "Small or optional, in the mentor's own judgement."),
    (KEEP, "Keep", "What works. Don't lose it on the next pass."),
    (PLAN, "Plan", "How to go about the next pass."),
)

_PLACES = {
    "start": "near the start of the shot",
    "middle": "in the middle of the shot",
    "end": "near the end of the shot",
}
_SCOPES = {"moment": "", "shot": "the whole shot", "habit": "a habit, across shots"}
LOOPED = "said while the whole shot ran"
_FOLLOWUPS = {"resolved": "asked before, now fixed", "repeated": "asked before, still open"}

CAUTIONS = (
    "No grading. This sheet gives no marks and compares nobody; the number of notes says how much was "
    "talked about, not how good the shot is.",
    "The mentor decides. A program wrote this from what it heard, and it mishears. Where the sheet and the "
    "mentor differ, the mentor is right; what looks like a fault may be meant.",
    "Recordings and names are personal data. Keep, share and delete them as your school's policy and the "
    "law where you live say.",
)

_DIRECTION = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Marks that reverse the direction of text: they can make a line read as what it is not."""


@dataclass(frozen=True)
class Numbered:
    """A note with the running number it bears in every format."""

    number: int
    note: Note


@dataclass(frozen=True)
class Group:
    """The notes of one priority, in order; `key` is one of first, then, time, keep, plan."""

    key: str
    title: str
    about: str
    notes: tuple[Numbered, ...]


def plain(text: str) -> str:
    """`text` on one line, without control characters, direction marks or broken surrogates."""
    whole = _DIRECTION.sub("", text).encode("utf-8", "replace").decode("utf-8")
    visible = (" " if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c for c in whole)
    return " ".join("".join(visible).split())


def clock(seconds: float) -> str:
    """Seconds as m:ss or h:mm:ss, rounded down so that a jump never lands after the first word."""
    minutes, rest = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"


def listed(items: Iterable[str]) -> str:
    """The items as English prose: "a", "a and b", "a, b and c"."""
    *most, last = list(items) or [""]
    return f"{', '.join(most)} and {last}" if most else last


def frames(ranges: Iterable[FrameRange]) -> str:
    """Frame ranges in words, each kind with how it is known: "frame 42, frames 142–149 (shown on screen)"; or ""."""
    kinds: dict[str, list[FrameRange]] = {}
    for one in ranges:
        kinds.setdefault(_SOURCES[one.source], []).append(one)
    return ", ".join(f"{_spans(several)}{how}" for how, several in kinds.items())


def span(first: int, last: int) -> str:
    """Frames from one to another: "42", "42–50"."""
    return f"{first}" if first == last else f"{first}–{last}"


def first_frame(sheet: Sheet) -> int:
    """The number of the shot's first frame; 1 where nobody said."""
    return 1 if sheet.shot is None or sheet.shot.first is None else sheet.shot.first


def _spans(ranges: Sequence[FrameRange]) -> str:
    spans = [("" if one.confidence >= _SURE[one.source] else "about ") + span(one.first, one.last) for one in ranges]
    if len(ranges) > 1:
        return f"frames {listed(spans)}"
    about = "about " if spans[0].startswith("about ") else ""
    return f"{about}{'frame' if ranges[0].first == ranges[0].last else 'frames'} {spans[0].removeprefix(about)}"


def facts(note: Note) -> list[str]:
    """What a note is about, in short words: subject, body parts, frames, place, scope, looping and history."""
    said = (
        plain(note.subject or ""),
        listed(note.body),
        frames(note.frames),
        _PLACES[note.place] if note.place else "",
        _SCOPES[note.scope],
        LOOPED if note.looped else "",
        _FOLLOWUPS[note.followup] if note.followup else "",
    )
    return [fact for fact in said if fact]


def repair_line(repair: Repair) -> tuple[str, str, str]:
    """A repair as clock time, what was heard, and what it was read as."""
    return clock(repair.start), plain(repair.raw), plain(repair.text)


def grouped(sheet: Sheet) -> tuple[Group, ...]:
    """The notes grouped by priority and numbered in reading order; groups without notes are left out.

    The sheet's top notes lead "Do first" in the mentor's order; within a group notes keep their rank.
    """
    top = {note_id: place for place, note_id in enumerate(sheet.top)}
    ordered = sorted(sheet.notes, key=lambda note: (top.get(note.id, len(top)), note.rank, note.id))
    groups = []
    number = 0
    for key, title, about in _GROUPS:
        notes = [note for note in ordered if _group(note, top) == key]
        if notes:
            numbered = tuple(Numbered(number + place, note) for place, note in enumerate(notes, 1))
            groups.append(Group(key, title, about, numbered))
            number += len(notes)
    return tuple(groups)


def _group(note: Note, top: dict[str, int]) -> str:
    if note.kind == "keep":
        return KEEP
    if note.id in top:
        return FIRST
    if note.kind == "plan":
        return PLAN
    return {"must": FIRST, "could": TIME}.get(note.strength or "should", THEN)
