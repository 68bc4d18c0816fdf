"""The notes as an XLSX workbook (ISO/IEC 29500, ECMA-376): a row a note, ready to sort, filter and print."""

import io

from critsheet.render.dates import made
from critsheet.render.table import COLUMNS, Cell, is_like_formula, rows
from critsheet.render.words import plain
from critsheet.sheet import Sheet

MAX_CELL = 32_767
"""UTF-16 units of text that a cell holds (Microsoft, "Excel specifications and limits")."""
MAX_NUMBER = 10**15
"""A number in a cell keeps 15 digits (same source); a longer one stands as text."""
_CUT = " …"


def to_xlsx(sheet: Sheet) -> bytes:
    """The workbook. Its texts are texts, whatever they start with, and stay so when someone edits the cell.

    Raises SheetError where the sheet does not say when it was made.
    """
    import xlsxwriter

    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        book.set_properties({"title": plain(sheet.review.title), "created": made(sheet).replace(tzinfo=None)})
        look = {"text_wrap": True, "valign": "top"}
        heading = book.add_format({**look, "bold": True, "bottom": 2})
        ordinary, unlike_formula = book.add_format(look), book.add_format({**look, "quote_prefix": True})
        page = book.add_worksheet("Notes")
        for place, column in enumerate(COLUMNS):
            page.set_column(place, place, column.width)
            page.write_string(0, place, column.title, heading)
        table = rows(sheet)
        for line, row in enumerate(table, start=1):
            for place, cell in enumerate(row):
                style = unlike_formula if is_like_formula(cell) else ordinary
                if isinstance(cell, int) and abs(cell) < MAX_NUMBER:
                    page.write_number(line, place, cell, style)
                else:
                    page.write_string(line, place, _fitting(cell), style)
        page.freeze_panes(1, 0)
        page.autofilter(0, 0, len(table), len(COLUMNS) - 1)
        page.set_landscape()
        page.repeat_rows(0)
    return out.getvalue()


def _fitting(cell: Cell) -> str:
    units = str(cell).encode("utf-16-le")
    if len(units) <= 2 * MAX_CELL:
        return str(cell)
    return units[: 2 * (MAX_CELL - len(_CUT))].decode("utf-16-le", "ignore") + _CUT
