"""The plain words and the order that every format shares: groups, clock times, frames, cautions."""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from critsheet.sheet import FrameRange, Note, Repair, Sheet

SURE = 0.999
"""A frame range below this confidence is shown as doubtful."""

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
    """Frame ranges in words: "frame 42", "frames 42–50 and about 60"; "" where there are none."""
    ranges = list(ranges)
    spans = [f"{one.first}" if one.first == one.last else f"{one.first}–{one.last}" for one in ranges]
    abouts = ["" if one.confidence >= SURE else "about " for one in ranges]
    if not ranges:
        return ""
    if len(ranges) == 1:
        return f"{abouts[0]}{'frame' if ranges[0].first == ranges[0].last else 'frames'} {spans[0]}"
    return f"frames {listed(about + span for about, span in zip(abouts, spans, strict=True))}"


def facts(note: Note) -> list[str]:
    """What a note is about, in short words: subject, body parts, frames, place, scope and history."""
    said = (
        plain(note.subject or ""),
        listed(note.body),
        frames(note.frames),
        _PLACES[note.place] if note.place else "",
        _SCOPES[note.scope],
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
