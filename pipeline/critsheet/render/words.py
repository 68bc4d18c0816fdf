"""The plain words and the order that every format shares: groups, clock times, frames, cautions."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from critsheet.remedies import without_remedy
from critsheet.render.texts import Texts, english
from critsheet.sheet import FrameRange, Note, Repair, Sheet

_SURE = {"said": 0.999, "by hand": 0.999, "shown": 0.7, "logged": 0.7, "placed": 0.999}
"""A frame range below this confidence is shown as doubtful: a number is said exactly or not, a look is never exact."""

_SOURCES = {"said": "", "by hand": "", "shown": "frames.shown", "logged": "frames.logged", "placed": "frames.placed"}

FIRST, THEN, TIME, KEEP, PLAN = "first", "then", "time", "keep", "plan"
GROUPS = (FIRST, THEN, TIME, KEEP, PLAN)
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


def frames(ranges: Iterable[FrameRange], texts: Texts | None = None) -> str:
    """Frame ranges in words, each kind with how it is known: "frame 42, frames 142–149 (shown on screen)"; or ""."""
    say = texts or english()
    kinds: dict[str, list[FrameRange]] = {}
    for one in ranges:
        kinds.setdefault(_SOURCES[one.source], []).append(one)
    return ", ".join(
        say(how, frames=_spans(several, say)) if how else _spans(several, say) for how, several in kinds.items()
    )


def about(one: FrameRange) -> bool:
    """Whether a frame range is only roughly known."""
    return one.confidence < _SURE[one.source]


def listed(items: Iterable[str]) -> str:
    """The items as English prose: "a", "a and b", "a, b and c"."""
    return english().listed(items)


def cautions(texts: Texts | None = None) -> tuple[str, ...]:
    """What every reader of a sheet should know."""
    say = texts or english()
    return tuple(say(f"cautions.{name}") for name in ("grading", "mentor", "data"))


def span(first: int, last: int) -> str:
    """Frames from one to another: "42", "42–50"."""
    return f"{first}" if first == last else f"{first}–{last}"


def first_frame(sheet: Sheet) -> int:
    """The number of the shot's first frame; 1 where nobody said."""
    return 1 if sheet.shot is None or sheet.shot.first is None else sheet.shot.first


def _spans(ranges: Sequence[FrameRange], say: Texts) -> str:
    spans = [span(one.first, one.last) for one in ranges]
    if len(ranges) == 1:
        named = say(f"frames.{'one' if ranges[0].first == ranges[0].last else 'other'}", spans=spans[0])
        return say("frames.about", spans=named) if about(ranges[0]) else named
    each = [say("frames.about", spans=text) if about(one) else text for one, text in zip(ranges, spans, strict=True)]
    return say("frames.other", spans=say.listed(each))


def facts(note: Note, texts: Texts | None = None, *, with_frames: bool = True) -> list[str]:
    """What a note is about, in short words: subject, body parts, frames, place, scope, looping and history."""
    say = texts or english()
    said = (
        plain(note.subject or ""),
        say.listed(say(f"body.{part}") for part in note.body) if note.body else "",
        frames(note.frames, say) if with_frames else "",
        say(f"fact.{note.place}") if note.place else "",
        say(f"fact.{note.scope}") if note.scope != "moment" else "",
        say("fact.looped") if note.looped else "",
        say(f"fact.{note.followup}") if note.followup else "",
    )
    return [fact for fact in said if fact]


def own_words(note: Note, texts: Texts | None = None) -> list[str]:
    """Says of an action that the mentor worded it; nothing of one that the program made."""
    return [(texts or english())("note.own_words")] if note.edited else []


def gives_no_remedy(note: Note) -> bool:
    """Whether the action only names a fault; what the mentor worded is taken as meant."""
    return note.kind == "fix" and not note.edited and without_remedy(note.action)


def repair_line(repair: Repair) -> tuple[str, str, str]:
    """A repair as clock time, what was heard, and what it was read as."""
    return clock(repair.start), plain(repair.raw), plain(repair.text)


def grouped(sheet: Sheet, texts: Texts | None = None) -> tuple[Group, ...]:
    """The notes grouped by priority and numbered in reading order; groups without notes are left out.

    The sheet's top notes lead "Do first" in the mentor's order; within a group notes keep their rank.
    """
    say = texts or english()
    top = {note_id: place for place, note_id in enumerate(sheet.top)}
    ordered = sorted(sheet.notes, key=lambda note: (top.get(note.id, len(top)), note.rank, note.id))
    groups = []
    number = 0
    for key in GROUPS:
        notes = [note for note in ordered if _group(note, top) == key]
        if notes:
            numbered = tuple(Numbered(number + place, note) for place, note in enumerate(notes, 1))
            groups.append(Group(key, say(f"group.{key}.title"), say(f"group.{key}.about"), numbered))
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
