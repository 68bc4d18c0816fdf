"""Files that were written from the archive about one student: they go when the student is forgotten."""

import hashlib
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from sqlalchemy import Connection, delete, insert, select

from critsheet.archive.filing import now
from critsheet.archive.tables import files
from critsheet.archive.wanted import person_id
from critsheet.media import sha256

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive

Fate = Literal["as written", "changed since", "not here"]


@dataclass(frozen=True)
class Written:
    """A file about a student, as the archive remembers it; `made` is when."""

    path: Path
    sha256: str
    made: str

    def fate(self) -> Fate:
        """What became of it: "not here" is deleted, moved, or on another computer."""
        try:
            return (
                "as written" if hashlib.sha256(self.path.read_bytes()).hexdigest() == self.sha256 else "changed since"
            )
        except FileNotFoundError:
            return "not here"
        except OSError:
            return "changed since"


def remember(archive: "Archive", student: str, path: Path) -> None:
    """Remember a file about a student, in place of an earlier one of that path. Raises InputError, ArchiveError."""

    def work(connection: Connection) -> None:
        remember_in(connection, person_id(connection, student, "student"), path, sha256(path))

    archive.write(work)


def remember_in(connection: Connection, student: int, path: Path, digest: str) -> None:
    """Remember a file with the SHA-256 `digest`, within a transaction; it may be written afterwards."""
    where = str(path.resolve())
    connection.execute(delete(files).where(files.c.path == where))
    connection.execute(insert(files).values(student=student, path=where, sha256=digest, made=now()))


def written_about(connection: Connection, students: Iterable[int]) -> list[Written]:
    """The files about some students, in order of path, within a transaction."""
    chosen = select(files.c.path, files.c.sha256, files.c.made).where(files.c.student.in_(list(students)))
    return [Written(Path(row.path), row.sha256, row.made) for row in connection.execute(chosen.order_by(files.c.path))]


def take_away(written: Iterable[Written]) -> dict[Path, Fate]:
    """Delete files that are still as they were written, with folders that are empty then. What became of the others."""
    left: dict[Path, Fate] = {}
    for each in written:
        fate = each.fate()
        if fate == "as written":
            try:
                each.path.unlink()
            except OSError:
                fate = "changed since"
            else:
                with suppress(OSError):
                    each.path.parent.rmdir()
                continue
        left[each.path] = fate
    return left
