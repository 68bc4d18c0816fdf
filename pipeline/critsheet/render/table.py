"""The sheet as a table, a row a note, in the order of the checklist. What it is written down in is another's job.

Labels stand as in the sheet (`critsheet.sheet`: "must", "shown", "repeated"), so that a table can be sorted by them.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from critsheet.render import words
from critsheet.render.words import Numbered, plain
from critsheet.sheet import Note, Sheet

Cell = str | int
"""Text on one line, or a whole number; "" where there is nothing to say."""

FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
"""What a table program takes for a formula where a cell starts with it; the last four as typed in East Asia
(OWASP, "CSV Injection"). Tab and line ends, which it names too, never get past `plain`."""


@dataclass(frozen=True)
class _Row:
    sheet: Sheet
    priority: str
    entry: Numbered

    @property
    def note(self) -> Note:
        return self.entry.note


@dataclass(frozen=True)
class Column:
    """What stands over a column, how many characters wide it is best shown, and what stands in it for one note."""

    title: str
    width: int
    cell: Callable[[_Row], Cell]


COLUMNS = (
    Column("No.", 5, lambda row: row.entry.number),
    Column("Priority", 15, lambda row: row.priority),
    Column("What to do", 60, lambda row: plain(row.note.action)),
    Column("Kind", 7, lambda row: row.note.kind),
    Column("Category", 13, lambda row: row.note.category),
    Column("Also", 16, lambda row: ", ".join(row.note.also)),
    Column("Who or what", 16, lambda row: plain(row.note.subject or "")),
    Column("Body", 18, lambda row: ", ".join(row.note.body)),
    Column("First frame", 11, lambda row: min((span.first for span in row.note.frames), default="")),
    Column("Last frame", 11, lambda row: max((span.last for span in row.note.frames), default="")),
    Column("Frames", 26, lambda row: words.frames(row.note.frames)),
    Column("Place", 8, lambda row: row.note.place or ""),
    Column("Scope", 9, lambda row: row.note.scope),
    Column("Strength", 9, lambda row: row.note.strength or ""),
    Column("Said at", 16, lambda row: ", ".join(_time_of_day(moment.start) for moment in row.note.moments)),
    Column("The mentor's words", 70, lambda row: _quoted(moment.quote for moment in row.note.moments)),
    Column("Why here", 40, lambda row: _listed(row.note.reasons)),
    Column("Not sure", 40, lambda row: _listed(row.note.doubts)),
    Column("Asked before", 13, lambda row: row.note.followup or ""),
    Column("Worded by the mentor", 11, lambda row: "yes" if row.note.edited else ""),
    Column("Done", 22, lambda row: plain(row.note.done.at) if row.note.done else ""),
    Column("Comment", 40, lambda row: plain(row.note.done.comment) if row.note.done else ""),
    Column("Sheet", 30, lambda row: plain(row.sheet.review.title)),
    Column("Student", 18, lambda row: plain(row.sheet.review.student or "")),
    Column("Mentor", 18, lambda row: plain(row.sheet.review.mentor or "")),
    Column("Submission", 11, lambda row: row.sheet.review.submission or ""),
    Column("Note", 7, lambda row: plain(row.note.id)),
)


def rows(sheet: Sheet) -> list[tuple[Cell, ...]]:
    """A row a note, a cell for each of `COLUMNS`."""
    entries = (_Row(sheet, group.title, entry) for group in words.grouped(sheet) for entry in group.notes)
    return [tuple(column.cell(row) for column in COLUMNS) for row in entries]


def is_like_formula(cell: Cell) -> bool:
    """Whether a table program that reads `cell` as typed would calculate it."""
    return isinstance(cell, str) and cell.startswith(FORMULA_STARTS)


def _time_of_day(seconds: float) -> str:
    """h:mm:ss in full: a table program reads "1:30" as half past one."""
    time = words.clock(seconds)
    return time if time.count(":") == 2 else f"0:{time.zfill(len('00:00'))}"


def _quoted(quotes: Iterable[str]) -> str:
    return " ".join(f"“{plain(quote)}”" for quote in quotes)


def _listed(texts: Iterable[str]) -> str:
    return "; ".join(map(plain, texts))
