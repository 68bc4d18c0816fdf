"""Says whether an archive is sound: the database itself, every stored document, and all that was made from them."""

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from sqlite3 import SQLITE_CORRUPT, SQLITE_ERROR
from typing import TYPE_CHECKING, Any, Literal

from sqlalchemy import Connection, text

from critsheet.archive import note_index
from critsheet.archive.agreeing import agrees
from critsheet.archive.indexing import is_current
from critsheet.archive.opening import may_write, open_archive
from critsheet.archive.place import read_place
from critsheet.archive.stored import Stored, guarded, look_into
from critsheet.errors import ArchiveError, SheetError
from critsheet.sheet import Sheet

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

MOST_PLACES = 100
"""So many damaged places are counted; more tell a mentor nothing new."""
Fault = Literal["lost", "current", "earlier", "tables"]
"""`lost`: no form of a sheet can be read. `current`: its latest cannot, an earlier one can. `earlier`: an earlier one
cannot. `tables`: what is listed and searched is not what the sheet says."""


@dataclass(frozen=True)
class Hurt:
    """A sheet that is not as it was filed; title and student as far as they are known."""

    number: int
    title: str | None
    student: str | None
    faults: tuple[Fault, ...]


@dataclass(frozen=True)
class Health:
    """How an archive is. `damage` says what is wrong with the database itself, a line each.

    `index_hurt`: the search's index is damaged; None where it could not be proven, as the file may not be written to.
    `outdated`: it was made with another vocabulary, so that searches may miss some of the trade's other words.
    """

    sheets: int
    hurt: tuple[Hurt, ...]
    damage: tuple[str, ...]
    index_hurt: bool | None
    outdated: bool

    @property
    def sound(self) -> bool:
        """Whether nothing is hurt."""
        return not (self.hurt or self.damage or self.index_hurt)


def check(place: str | None, vocabulary: "Vocabulary", tell: Callable[[float], None]) -> Health:
    """How the archive is. `tell` hears the share that is done. Raises the errors of `look_into`."""
    health = look_into(place, lambda stored: _look(stored, vocabulary, tell))
    file = read_place(place).file
    if file is None or health.index_hurt:
        return health
    if not may_write(file):
        return replace(health, index_hurt=None)
    return replace(health, index_hurt=not _proves(file))


def _proves(file: Path) -> bool:
    try:
        with open_archive(str(file), writing=True) as archive:
            archive.write(note_index.prove)
    except ArchiveError as error:
        said = getattr(error.__cause__, "orig", None)
        if isinstance(said, sqlite3.Error) and said.sqlite_errorcode & 0xFF in (SQLITE_CORRUPT, SQLITE_ERROR):
            return False
        raise
    return True


def _look(stored: Stored, vocabulary: "Vocabulary", tell: Callable[[float], None]) -> Health:
    hurt, numbers = [], stored.numbers
    for done, number in enumerate(numbers, start=1):
        one = _examined(stored, number)
        hurt += [one] if one.faults else []
        tell(done / len(numbers))
    damage, index, outdated = stored.troubles, True, False
    if connection := stored.connection:
        damage += tuple(_damage(connection))
        index = _strays(connection)
        outdated = _outdated(connection, vocabulary)
    return Health(len(numbers), tuple(hurt), damage, index, outdated)


def _damage(connection: Connection) -> list[str]:
    """What SQLite says of its file; a server looks after its own."""
    if connection.dialect.name != "sqlite":
        return []
    found = []
    try:
        told = guarded(connection, lambda connection: _all(connection, f"PRAGMA integrity_check({MOST_PLACES})"))
        if told != ["ok"]:
            found.append(f"The file is damaged; places: {len(told)}{' or more' if len(told) == MOST_PLACES else ''}.")
        loose = guarded(connection, lambda connection: _all(connection, "PRAGMA foreign_key_check"))
        if loose:
            found.append(f"Entries that belong to no sheet or person: {len(loose)}.")
    except ArchiveError:
        found.append("The file is damaged so that it cannot be checked further.")
    return found


def _all(connection: Connection, query: str) -> list[Any]:
    return list(connection.execute(text(query)).scalars())


def _strays(connection: Connection) -> bool:
    """Whether the index has notes that are nowhere else, or cannot be read."""
    try:
        return guarded(connection, note_index.strays) > 0
    except ArchiveError:
        return True


def _outdated(connection: Connection, vocabulary: "Vocabulary") -> bool:
    try:
        return not guarded(connection, lambda connection: is_current(connection, vocabulary))
    except ArchiveError:
        return True


def _examined(stored: Stored, number: int) -> Hurt:
    readable: dict[int, Sheet] = {}
    forms = stored.forms.get(number, [])
    for form in forms:
        try:
            readable[form.number] = form.read()
        except (ArchiveError, SheetError):
            continue
    entry = stored.entries.get(number)
    if not readable:
        return Hurt(number, entry.title if entry else None, entry.student if entry else None, ("lost",))
    faults: list[Fault] = []
    current = readable.get(stored.current(number))
    if current is None:
        faults.append("current")
    elif stored.connection and not (entry and _agrees(stored.connection, number, current)):
        faults.append("tables")
    if any(form.number not in (stored.current(number), *readable) for form in forms):
        faults.append("earlier")
    best = next(iter(readable.values()))
    return Hurt(number, best.review.title, best.review.student, tuple(faults))


def _agrees(connection: Connection, number: int, sheet: Sheet) -> bool:
    try:
        return guarded(connection, lambda connection: agrees(connection, number, sheet))
    except (ArchiveError, SheetError):
        return False
