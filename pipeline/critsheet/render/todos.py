"""The notes as to-dos for calendars and task lists: iCalendar VTODO (RFC 5545, section 3.6.2)."""

from typing import TYPE_CHECKING

from critsheet import __version__
from critsheet.errors import InputError
from critsheet.render import words
from critsheet.render.dates import instant, made
from critsheet.render.words import Numbered, clock, plain
from critsheet.sheet import Note, Sheet

if TYPE_CHECKING:
    from icalendar import Todo

_HIGH, _MEDIUM, _LOW = 1, 5, 9
_PRIORITIES = {"must": _HIGH, "should": _MEDIUM, "could": _LOW}
"""RFC 5545, section 3.8.1.9: 1 is the highest priority, 9 the lowest."""


def to_icalendar(sheet: Sheet) -> bytes:
    """A to-do for each note to fix or to plan, without a date: the mentor sets none. What to keep is nothing to do.

    The same note of the same sheet always has the same UID, so that a program that takes the file twice has it once.
    Raises InputError where there is nothing to do (a calendar may not be empty), SheetError where the sheet does not
    say when it was made.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", f"-//Critsheet//critsheet {__version__}//EN")
    calendar.add("name", plain(sheet.review.title))  # RFC 7986, section 5.1
    for group in words.grouped(sheet):
        for entry in group.notes:
            if group.key != words.KEEP:
                calendar.add_component(_todo(sheet, group.key, entry))
    if not calendar.subcomponents:
        raise InputError("There is nothing to do on this sheet.", "Choose another format: mail, or pdf.")
    return bytes(calendar.to_ical())


def _todo(sheet: Sheet, group: str, entry: Numbered) -> "Todo":
    from icalendar import Todo

    note = entry.note
    todo = Todo()
    todo.add("uid", plain(f"{sheet.id}-{note.id}"))
    todo.add("dtstamp", made(sheet))
    todo.add("summary", f"{entry.number}. {plain(note.action)}")
    todo.add("description", "\n".join(_description(sheet, note)))
    todo.add("categories", [note.category, *note.also])
    # A note that the mentor set first comes first, however mildly it was worded.
    todo.add("priority", _HIGH if group == words.FIRST else _PRIORITIES[note.strength or "should"])
    todo.add("status", "COMPLETED" if note.done else "NEEDS-ACTION")
    if note.done and (at := instant(note.done.at)):
        todo.add("completed", at)
        todo.add("percent-complete", 100)
    return todo


def _description(sheet: Sheet, note: Note) -> list[str]:
    lines = [" · ".join((plain(sheet.review.title), *words.facts(note)))]
    lines += [f"{clock(moment.start)} “{plain(moment.quote)}”" for moment in note.moments]
    lines += [f"Why here: {'; '.join(map(plain, note.reasons))}"] if note.reasons else []
    lines += [f"Not sure: {plain(doubt)}" for doubt in note.doubts]
    return [*lines, plain(note.done.comment)] if note.done and note.done.comment else lines
