"""Compares what the tables and the index say of a sheet with what it says itself."""

from collections import Counter
from collections.abc import Sequence
from typing import Any, get_args

from sqlalchemy import Connection, FromClause, select

from critsheet.archive import note_index, rows
from critsheet.archive.standing import Status
from critsheet.archive.tables import follows, note_texts, notes, outcomes, people, sheets
from critsheet.sheet import Sheet


def agrees(connection: Connection, number: int, sheet: Sheet) -> bool:
    """Whether everything that was made from a sheet is there and says the same. Raises DBAPIError."""
    words = [rows.note_row(note) | rows.texts_row(note) for note in sheet.notes]
    return (
        _filed_as(connection, number, sheet)
        and _indexed(connection, number, len(words))
        and _has(connection, notes.outerjoin(note_texts), number, words)
        and _has(connection, follows, number, rows.follows_rows(sheet))
        and _has(connection, outcomes, number, rows.outcome_rows(sheet))
    )


def _filed_as(connection: Connection, number: int, sheet: Sheet) -> bool:
    told = rows.sheet_row(sheet)
    student, mentor = people.alias("student"), people.alias("mentor")
    found = connection.execute(
        select(*(sheets.c[name] for name in told), student.c.key, mentor.c.key)
        .outerjoin_from(sheets, student, student.c.id == sheets.c.student)
        .outerjoin(mentor, mentor.c.id == sheets.c.mentor)
        .where(sheets.c.id == number)
    ).one_or_none()
    named = (rows.person_key(name or "") or None for name in (sheet.review.student, sheet.review.mentor))
    return found is not None and tuple(found) == (*told.values(), *named)


def _indexed(connection: Connection, number: int, count: int) -> bool:
    """Whether it has so many notes, each with a standing and in the index."""
    found = connection.execute(select(notes.c.id, notes.c.status).where(notes.c.sheet == number)).all()
    standing = {row.status for row in found} <= set(get_args(Status))
    return len(found) == count and standing and {row.id for row in found} == note_index.indexed(connection, number)


def _has(connection: Connection, table: FromClause, number: int, told: Sequence[dict[str, Any]]) -> bool:
    """Whether a table, or the first of several, has these rows for a sheet, and no others."""
    columns = {column.name: column for column in reversed(list(table.c))}
    names = list(told[0]) if told else ["sheet"]
    chosen = select(*(columns[name] for name in names)).select_from(table).where(columns["sheet"] == number)
    return Counter(map(tuple, connection.execute(chosen))) == Counter(tuple(row.values()) for row in told)
