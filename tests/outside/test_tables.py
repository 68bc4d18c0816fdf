"""The tables as other programs read them: CSV (RFC 4180) by pandas, XLSX (ISO/IEC 29500, ECMA-376) by openpyxl.

Formulas: OWASP, "CSV Injection", https://owasp.org/www-community/attacks/CSV_Injection.
"""

import io
from datetime import datetime
from itertools import zip_longest
from zipfile import ZipFile

import openpyxl
import pandas
import pytest
from hostile_sheet import HOSTILE, hostile_sheet

from critsheet.render.comma_table import to_csv
from critsheet.render.table import COLUMNS, is_like_formula, rows
from critsheet.render.words import plain
from critsheet.render.workbook import MAX_CELL, to_xlsx
from critsheet.sheet import Moment, Note, Sheet

TITLES = [column.title for column in COLUMNS]


def workbook(sheet: Sheet) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(to_xlsx(sheet)))


def frame(sheet: Sheet, **how: object) -> pandas.DataFrame:
    return pandas.read_csv(io.BytesIO(to_csv(sheet).encode()), keep_default_na=False, **how)


def only(sheet: Sheet, **change: object) -> Sheet:
    """The sheet with its first note alone, changed."""
    note = sheet.notes[0].model_copy(update=change)
    return sheet.model_copy(update={"notes": (note,), "top": ()})


def test_pandas_reads_a_row_a_note_in_the_order_of_the_checklist() -> None:
    sheet = hostile_sheet()
    table = frame(sheet)
    assert list(table.columns) == TITLES
    assert table["No."].tolist() == list(range(1, len(sheet.notes) + 1))
    assert table["First frame"].dtype.kind == "i"
    assert set(table["Note"]) == {plain(note.id) if not is_like_formula(note.id) else note.id for note in sheet.notes}
    by_action = dict(zip(table["What to do"], table["The mentor's words"], strict=True))
    for text in HOSTILE:
        action = plain(text)
        assert by_action[f"'{action}" if is_like_formula(action) else action] == f"“{action}”"


def test_no_cell_of_the_csv_would_be_calculated() -> None:
    table = frame(hostile_sheet(), dtype=str)
    assert not [cell for row in table.itertuples(index=False) for cell in row if is_like_formula(cell)]


def test_every_line_of_the_csv_is_a_row_and_every_cell_stands_in_quotes() -> None:
    """A program that parts cells at semicolons or tabs must find no start of a cell inside one."""
    sheet = hostile_sheet()
    text = to_csv(sheet)
    assert text.startswith("\ufeff")
    lines = text[1:].split("\r\n")
    assert len(lines) == len(sheet.notes) + 2
    assert lines[-1] == ""
    assert all(line[0] == line[-1] == '"' for line in lines[:-1])
    assert not any(control in line for line in lines for control in "\r\n\t\0")


def test_times_have_hours_so_that_no_program_takes_minutes_for_hours() -> None:
    moments = (Moment(start=90, end=91, quote="a"), Moment(start=3725, end=3726, quote="b"))
    assert frame(only(hostile_sheet(), moments=moments))["Said at"].tolist() == ["0:01:30, 1:02:05"]


def test_openpyxl_reads_texts_as_texts_and_frames_as_numbers() -> None:
    sheet = hostile_sheet()
    page = workbook(sheet).active
    found = [[cell.value for cell in line] for line in page.iter_rows()]
    assert found[0] == TITLES
    kinds = {cell.data_type for line in page.iter_rows() for cell in line if cell.value is not None}
    assert kinds == {"s", "n"}, "and no formula, no error, no date"
    for line, row in zip_longest(found[1:], rows(sheet)):
        for cell, ours in zip_longest(line, row):
            assert _unescaped(cell) == ours


def _unescaped(cell: object) -> object:
    """openpyxl leaves the _xHHHH_ of ECMA-376 part 1, 22.4.2.4, as it stands."""
    if not isinstance(cell, str):
        return "" if cell is None else cell
    return cell.replace("_xFFFE_", "\ufffe").replace("_xFFFF_", "\uffff").replace("_x005F_", "_")


def test_a_text_like_a_formula_stays_a_text_when_someone_edits_the_cell() -> None:
    page = workbook(hostile_sheet()).active
    for line in page.iter_rows(min_row=2):
        for cell in line:
            assert bool(cell.quotePrefix) == is_like_formula(cell.value), cell.coordinate


def test_the_workbook_holds_no_links_macros_or_formulas() -> None:
    with ZipFile(io.BytesIO(to_xlsx(hostile_sheet()))) as book:
        assert not [name for name in book.namelist() if "vba" in name or "external" in name.lower()]
        page = book.read("xl/worksheets/sheet1.xml")
    assert b"<f>" not in page
    assert b"<hyperlink" not in page


def test_the_heading_stays_in_sight_and_every_column_has_a_width() -> None:
    page = workbook(hostile_sheet()).active
    assert page.freeze_panes == "A2"
    assert page.auto_filter.ref == f"A1:{page.cell(len(HOSTILE) + 1, len(COLUMNS)).coordinate}"
    assert page["A1"].font.bold
    assert page.print_title_rows == "$1:$1"
    widths = {
        place: stretch.width
        for stretch in page.column_dimensions.values()
        for place in range(stretch.min, stretch.max + 1)
    }
    for place, column in enumerate(COLUMNS, start=1):
        assert widths[place] == pytest.approx(column.width, abs=1)


def test_the_workbook_says_when_the_sheet_was_made_not_when_it_was_exported() -> None:
    book = to_xlsx(hostile_sheet())
    assert openpyxl.load_workbook(io.BytesIO(book)).properties.created == datetime(2026, 1, 31, 10)
    assert book == to_xlsx(hostile_sheet())


@pytest.mark.parametrize("letter", ["a", "🦴"])
def test_more_text_than_a_cell_holds_is_cut_and_the_cut_shown(letter: str) -> None:
    """Excel holds 32,767 UTF-16 units a cell (Microsoft, "Excel specifications and limits")."""
    page = workbook(only(hostile_sheet(), action=letter * 40_000)).active
    text = page.cell(2, TITLES.index("What to do") + 1).value
    assert len(text.encode("utf-16-le")) // 2 in (MAX_CELL, MAX_CELL - 1)
    assert text.endswith(f"{letter} …")


def test_a_frame_number_too_long_for_a_cell_is_text() -> None:
    frames = hostile_sheet().notes[0].frames[0].model_copy(update={"first": 10**18 + 1, "last": 10**18 + 1})
    page = workbook(only(hostile_sheet(), frames=(frames,))).active
    assert page.cell(2, TITLES.index("First frame") + 1).value == str(10**18 + 1)


def test_a_sheet_without_notes_is_a_table_of_headings() -> None:
    empty = hostile_sheet().model_copy(update={"notes": (), "top": ()})
    assert list(frame(empty).columns) == TITLES
    assert workbook(empty).active.max_row == 1


def test_ticks_and_history_stand_in_columns_of_their_own() -> None:
    note: Note = hostile_sheet().notes[1]
    assert note.done is not None
    (row,) = frame(only(hostile_sheet(), done=note.done, followup="repeated", edited=True)).to_dict("records")
    assert (row["Done"], row["Comment"]) == (note.done.at, "'=1+1")
    assert (row["Asked before"], row["Worded by the mentor"]) == ("repeated", "yes")
