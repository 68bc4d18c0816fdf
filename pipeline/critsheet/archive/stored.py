"""Looks into an archive, however damaged: the forms of its sheets, read so that one fault hides no other."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection, select, text
from sqlalchemy.exc import DBAPIError

from critsheet.archive.forms import Form
from critsheet.archive.opening import open_archive
from critsheet.archive.pages import forms_in
from critsheet.archive.place import read_place
from critsheet.archive.tables import people, sheets, versions
from critsheet.archive.troubles import trouble
from critsheet.errors import ArchiveError

Result = TypeVar("Result")


@dataclass(frozen=True)
class Entry:
    """What the list of sheets says of one: the form it is in now, its title, student and class."""

    version: int
    title: str
    student: str | None
    class_: str | None


@dataclass(frozen=True)
class Stored:
    """What an archive holds: the list of its sheets, and the forms of each, both by number, the latest form first.

    `connection` is None where the database cannot be opened. `troubles` say why that is, or what of it could not be
    read: then the forms were picked out of the file's pages, and the list may be empty.
    """

    connection: Connection | None
    troubles: tuple[str, ...]
    entries: dict[int, Entry]
    forms: dict[int, list[Form]]

    @property
    def numbers(self) -> list[int]:
        """Every sheet that there is a trace of."""
        return sorted({*self.entries, *self.forms})

    def current(self, number: int) -> int:
        """The form that a sheet is in now, as far as that is known."""
        return self.entries[number].version if number in self.entries else self.forms[number][0].number


def look_into(place: str | None, work: Callable[[Stored], Result]) -> Result:
    """What `work` makes of an archive, as it is at one moment. It may be run again where a connection is lost.

    Raises the errors of `open_archive`, save where the file is damaged and something in it can be made out.
    """
    file = read_place(place).file

    def look(connection: Connection) -> Result:
        if file is None:
            connection.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ"))
        return work(_stored(connection, file))

    try:
        archive = open_archive(place)
    except ArchiveError as hurt:
        if file is None or not isinstance(hurt.__cause__, DBAPIError) or not (forms := forms_in(file)):
            raise
        return work(Stored(None, (hurt.what,), {}, _by_sheet(forms)))
    with archive:
        return archive.read(look)


def guarded(connection: Connection, work: Callable[[Connection], Result]) -> Result:
    """What `work` reads; where that fails, other things can still be read. Raises ArchiveError."""
    try:
        with connection.begin_nested():
            return work(connection)
    except DBAPIError as error:
        if error.connection_invalidated:
            raise
        raise trouble(error, "The archive", lost=False) from error


def _stored(connection: Connection, file: Path | None) -> Stored:
    troubles: list[str] = []
    entries: dict[int, Entry] = {}
    try:
        entries = guarded(connection, _entries)
    except ArchiveError:
        troubles.append("The list of sheets cannot be read.")
    try:
        forms = guarded(connection, _forms)
    except ArchiveError:
        if file is None:
            raise
        troubles.append("The table of documents cannot be read; they were picked out of the file piece by piece.")
        forms = forms_in(file)
    return Stored(connection, tuple(troubles), entries, _by_sheet(forms))


def _entries(connection: Connection) -> dict[int, Entry]:
    chosen = select(sheets.c.id, sheets.c.version, sheets.c.title, people.c.name, sheets.c.class_name)
    found = connection.execute(chosen.outerjoin_from(sheets, people, people.c.id == sheets.c.student)).all()
    if any([type(row[0]), type(row[1]), type(row[2])] != [int, int, str] for row in found):
        raise ArchiveError("The archive is damaged.")
    return {number: Entry(*about) for number, *about in found}


def _forms(connection: Connection) -> list[Form]:
    """The forms by their table, which is walked as it lies: no index has to be whole for that."""
    chosen = select(versions.c.id, versions.c.sheet, versions.c.number, versions.c.changed, versions.c.sha256)
    found = []
    for row in connection.execute(chosen):
        if [type(value) for value in row] != [int, int, int, str, str]:
            raise ArchiveError("The archive is damaged.")
        found.append(Form(row.sheet, row.number, row.changed, row.sha256, partial(_document, connection, row.id)))
    return found


def _document(connection: Connection, key: int) -> bytes:
    chosen = select(versions.c.document).where(versions.c.id == key)
    return guarded(connection, lambda connection: bytes(connection.execute(chosen).scalar_one()))


def _by_sheet(forms: Iterable[Form]) -> dict[int, list[Form]]:
    """Later ones first: the archive takes a form for the latest that was changed last, of two the one filed last."""
    found: dict[int, list[Form]] = {}
    for form in sorted(forms, key=lambda form: (form.sheet, form.changed, form.number)):
        found.setdefault(form.sheet, []).insert(0, form)
    return found
