"""The form as text: CommonMark lists under headings, one line of words a note, one line a label under it."""

import hashlib
import json
import re
import textwrap
from collections.abc import Sequence

from critsheet.corrections import order
from critsheet.form.guide import GUIDE, LEFT_OUT, TITLES
from critsheet.render.words import about, clock, plain
from critsheet.sheet import FrameRange, Moment, Note, Sheet

_WIDTH = 100
_TYPED = re.compile("“[^”]*”")
_UNBROKEN = "\u00a0"


def to_text(sheet: Sheet) -> str:
    """The whole form, ending in a newline."""
    notes = {note.id: note for note in sheet.notes}
    lines = [first_line(sheet), *_head(sheet)]
    for key, ids in order(sheet).items():
        lines += ["", f"## {TITLES[key]}", *(line for note_id in ids for line in _block(notes[note_id]))]
    lines += ["", f"## {LEFT_OUT}", *(line for note in sheet.left_out for line in _block(note))]
    return "\n".join(lines) + "\n"


def first_line(sheet: Sheet) -> str:
    """The line that says of which sheet the form is, and of which state of it.

    A form of an earlier state would take back what was corrected since.
    """
    parts = sheet.model_dump(mode="json", include={"notes", "left_out", "top"}, exclude_defaults=True)
    state = hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()[:12]
    return f"<!-- critsheet, sheet {plain(sheet.id)}, state {state}: leave this line as it is -->"


def _head(sheet: Sheet) -> list[str]:
    title = plain(sheet.review.title).replace("--", "–")
    lines = ["<!--", f"{title}: change what is below, save, and close the editor.", ""]
    for name, how in GUIDE:
        # What is to be typed stays on one line.
        whole = _TYPED.sub(lambda typed: typed[0].replace(" ", _UNBROKEN), f"{name + ':':<12}{how}")
        lines += [line.replace(_UNBROKEN, " ") for line in textwrap.wrap(whole, _WIDTH, subsequent_indent=" " * 12)]
    return [*lines, "-->"]


def _block(note: Note) -> list[str]:
    box = "[x]" if note.done else "[ ]"
    return ["", f"- {box} {note.id}: {plain(note.action)}".rstrip(), *(f"  - {line}" for line in under(note))]


def under(note: Note) -> list[str]:
    """The lines under a note: its labels, then what was said."""
    return [f"{name}: {value}" for name, value in labels(note)] + [said(moment) for moment in note.moments]


def labels(note: Note) -> list[tuple[str, str]]:
    """The labels that a note has, by the names that the form gives them, in its order."""
    told = [
        ("category", ", ".join((note.category, *note.also))),
        ("who", plain(note.subject or "")),
        ("body", ", ".join(note.body)),
        ("frames", spans(note.frames)),
        ("place", note.place or ""),
        ("scope", note.scope if note.scope != "moment" else ""),
        ("asked before", note.followup or ""),
        *(("not sure", plain(doubt)) for doubt in note.doubts),
    ]
    return [(name, value) for name, value in told if value]


def spans(frames: Sequence[FrameRange]) -> str:
    """Frame ranges as they are typed: "42, about 130-138"."""
    return ", ".join(f"{'about ' if about(one) else ''}{_ends(one)}" for one in frames)


def _ends(one: FrameRange) -> str:
    return f"{one.first}" if one.first == one.last else f"{one.first}-{one.last}"


def said(moment: Moment) -> str:
    """A moment of the recording as a line: when, and the words."""
    return f"said {clock(moment.start)}: {plain(moment.quote)}"
