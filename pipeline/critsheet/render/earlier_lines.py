"""What became of the earlier notes, line by line, for the formats that are plain text."""

from collections.abc import Iterator
from dataclasses import dataclass

from critsheet.render import words
from critsheet.render.earlier_notes import outcomes
from critsheet.render.page_context import EarlierNote, Pointer
from critsheet.render.texts import english
from critsheet.render.words import plain
from critsheet.sheet import Note, Sheet


@dataclass(frozen=True)
class EarlierLines:
    """The earlier notes that came out the same: the title, and each note as its action and what is to be said of it."""

    title: str
    notes: tuple[tuple[str, tuple[str, ...]], ...]


def earlier_lines(sheet: Sheet) -> tuple[EarlierLines, ...]:
    """What is still to do first; empty where no earlier sheet was given."""
    pointers = {
        entry.note.id: Pointer(entry.note.id, entry.number, plain(entry.note.action))
        for group in words.grouped(sheet)
        for entry in group.notes
    }
    notes = {note.id: note for note in sheet.notes}
    return tuple(
        EarlierLines(outcome.title, tuple((one.action, tuple(_about(one, notes))) for one in outcome.notes))
        for outcome in outcomes(sheet.earlier, pointers, english())
    )


def _about(one: EarlierNote, notes: dict[str, Note]) -> Iterator[str]:
    if one.facts:
        yield " · ".join(one.facts)
    now = ""
    if one.note:
        moments = notes[one.note.id].moments
        quote = f": “{plain(moments[0].quote)}”" if moments else ""
        now = f"the mentor now, note {one.note.number}{quote}"
    said = one.said_done + (f": “{one.comment}”" if one.comment else "")
    if said or now:
        line = "; ".join(each for each in (said, now) if each)
        yield line[:1].upper() + line[1:]
    if one.doubt:
        yield f"Not sure: {one.doubt}"
