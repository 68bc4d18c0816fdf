"""What lies in an archive, sheet by sheet; a sheet taken out whole, or removed."""

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, Select, case, delete, func, select

from critsheet.archive import filing, standing
from critsheet.archive.tables import notes, people, sheets, versions
from critsheet.archive.wanted import Wanted
from critsheet.errors import ArchiveError, InputError
from critsheet.sheet import Sheet, from_json

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive


@dataclass(frozen=True)
class Filed:
    """A sheet in the archive, under the `number` that commands know it by; `open_notes` are still to be done."""

    number: int
    title: str
    student: str | None
    mentor: str | None
    class_: str | None
    submission: int | None
    made: str
    notes: int
    open_notes: int
    version: int
    place: str | None


@dataclass(frozen=True)
class Version:
    """One form of a sheet: when it was made or last corrected, and when it was filed."""

    number: int
    changed: str
    filed: str
    current: bool


def list_sheets(archive: "Archive", wanted: Wanted) -> list[Filed]:
    """The sheets, those made last first. Raises InputError for somebody the archive lacks."""
    return archive.read(lambda connection: _list(connection, wanted))


def read_sheet(archive: "Archive", number: int, version: int | None = None) -> Sheet:
    """A sheet whole, as it is now or in an earlier form.

    Raises InputError where there is none, ArchiveError where it is damaged.
    """
    return archive.read(lambda connection: document(connection, number, version))


def history(archive: "Archive", number: int) -> list[Version]:
    """Every form of a sheet, the first one first. Raises InputError where there is no such sheet."""
    return archive.read(lambda connection: _history(connection, number))


def remove(archive: "Archive", numbers: Sequence[int]) -> None:
    """Take sheets out, with every form they had. Raises InputError where one is not there; then all stay."""
    archive.write(lambda connection: remove_all(connection, numbers))


def remove_all(connection: Connection, numbers: Sequence[int]) -> None:
    """Take sheets out within a transaction, and work out anew how the notes before them stand."""
    for number in numbers:
        _known(connection, number)
    for number in numbers:
        before = standing.predecessors(connection, number)
        filing.empty(connection, number)
        connection.execute(delete(sheets).where(sheets.c.id == number))
        standing.settle(connection, before)
    forget_unnamed(connection)


def forget_unnamed(connection: Connection) -> None:
    """Take out everyone whom no sheet names any more, within a transaction."""
    named = select(sheets.c.id).where((sheets.c.student == people.c.id) | (sheets.c.mentor == people.c.id))
    connection.execute(delete(people).where(~named.exists()))


def document(connection: Connection, number: int, version: int | None = None) -> Sheet:
    """A sheet whole, within a transaction."""
    current = _known(connection, number)
    found = connection.execute(
        select(versions.c.document).where(versions.c.sheet == number, versions.c.number == (version or current))
    ).scalar_one_or_none()
    if found is None:
        raise InputError(f"Sheet {number} has no form {version}.", f"See which: critsheet archive show {number} --all")
    return read_document(found, number)


def read_document(found: bytes, number: int) -> Sheet:
    """A sheet from its stored form. Raises ArchiveError where it is damaged."""
    try:
        return from_json(zlib.decompress(found), f"Sheet {number} of the archive")
    except zlib.error as error:
        raise ArchiveError(
            f"Sheet {number} of the archive is damaged.", "See what can be saved: critsheet archive check"
        ) from error


def _known(connection: Connection, number: int) -> int:
    version = connection.execute(select(sheets.c.version).where(sheets.c.id == number)).scalar_one_or_none()
    if version is None:
        raise InputError(f"There is no sheet {number} in the archive.", "See which: critsheet archive list")
    return int(version)


def _list(connection: Connection, wanted: Wanted) -> list[Filed]:
    rows = connection.execute(_listed().where(*wanted.conditions(connection)))
    return [Filed(*row) for row in rows]


def _listed() -> "Select[Any]":
    student, mentor = people.alias("student"), people.alias("mentor")
    return (
        select(
            sheets.c.id,
            sheets.c.title,
            student.c.name,
            mentor.c.name,
            sheets.c.class_name,
            sheets.c.submission,
            sheets.c.made,
            func.count(notes.c.id),
            func.coalesce(func.sum(case((notes.c.status == standing.OPEN, 1), else_=0)), 0),
            sheets.c.version,
            sheets.c.place,
        )
        .outerjoin_from(sheets, student, student.c.id == sheets.c.student)
        .outerjoin(mentor, mentor.c.id == sheets.c.mentor)
        .outerjoin(notes, notes.c.sheet == sheets.c.id)
        .group_by(sheets.c.id, student.c.name, mentor.c.name)
        .order_by(sheets.c.made.desc(), sheets.c.id.desc())
    )


def _history(connection: Connection, number: int) -> list[Version]:
    current = _known(connection, number)
    rows = connection.execute(
        select(versions.c.number, versions.c.changed, versions.c.filed)
        .where(versions.c.sheet == number)
        .order_by(versions.c.number)
    )
    return [Version(row.number, row.changed, row.filed, row.number == current) for row in rows]
