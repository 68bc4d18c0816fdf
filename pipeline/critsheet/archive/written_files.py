"""Files that were written from the archive about one student: they go when the student is forgotten."""

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, delete, insert

from critsheet.archive.filing import now
from critsheet.archive.tables import files
from critsheet.archive.wanted import person_id
from critsheet.media import sha256

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive


def remember(archive: "Archive", student: str, path: Path) -> None:
    """Remember a file about a student, in place of an earlier one of that path. Raises InputError, ArchiveError."""
    archive.write(lambda connection: remember_in(connection, person_id(connection, student, "student"), path))


def remember_in(connection: Connection, student: int, path: Path) -> None:
    """Remember a file, within a transaction."""
    where = str(path.resolve())
    connection.execute(delete(files).where(files.c.path == where))
    values = {"student": student, "path": where, "sha256": sha256(path), "made": now()}
    connection.execute(insert(files).values(values))
