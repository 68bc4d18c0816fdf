"""The notes as CSV (RFC 4180), for every program that takes tables."""

import csv
import io
from collections.abc import Iterable, Sequence

from critsheet.render.table import COLUMNS, Cell, is_like_formula, rows
from critsheet.sheet import Sheet

_MARK = "\ufeff"
"""Without this mark at the start, Excel takes the text for a local encoding and spoils accents (common practice)."""


def to_csv(sheet: Sheet) -> str:
    """A line of headings and a row a note, to be written as UTF-8 without changing its line ends (CR LF).

    A cell that would be calculated gets an apostrophe before it. All cells stand in quotes, so that none is cut
    where the semicolon parts cells (OWASP, "CSV Injection").
    """
    return table_text([column.title for column in COLUMNS], rows(sheet))


def table_text(titles: Sequence[str], lines: Iterable[Sequence[Cell]]) -> str:
    """Any table as CSV, in the same way."""
    out = io.StringIO()
    out.write(_MARK)
    writer = csv.writer(out, quoting=csv.QUOTE_ALL)
    writer.writerow(titles)
    writer.writerows([_harmless(cell) for cell in row] for row in lines)
    return out.getvalue()


def _harmless(cell: Cell) -> Cell:
    return f"'{cell}" if is_like_formula(cell) else cell
