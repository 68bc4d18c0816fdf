"""Cleans a database of what was deleted, and searches its very bytes for what should be gone."""

import sqlite3
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Collection, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from critsheet.archive import note_index
from critsheet.archive.rows import person_key
from critsheet.archive.troubles import trouble
from critsheet.errors import ArchiveError

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive

TABLES = "people, sheets, versions, notes, note_texts, follows, outcomes, files, note_index"
SLICE = 24
"""Bytes: two different documents never have so many in common by chance."""
_PLACES = (0.25, 0.5, 0.75)
"""Where slices are cut: the file keeps a document in pages, and one slice may lie over the edge of one."""
_CHUNK = 8 << 20
_KEY = 3
"""Bytes of a needle that are looked up first."""
_LEAST = 6
"""Bytes of a name that stand nowhere by chance: five occur once in some gigabytes of compressed text."""


def clean(archive: "Archive") -> None:
    """Write the database anew without what was deleted from it. Raises ArchiveError where others are at work on it."""
    archive.write(note_index.clean)
    if archive.file is not None:
        _vacuum_file(archive)
        return
    try:
        with archive.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text(f"VACUUM (FULL) {TABLES}"))
    except DBAPIError as error:
        raise trouble(error, archive.place.shown, lost=error.connection_invalidated) from error


def _vacuum_file(archive: "Archive") -> None:
    connection = archive.engine.raw_connection()
    try:
        cursor = connection.cursor()
        cursor.execute("VACUUM")
        busy = cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
        cursor.close()
    except sqlite3.Error as error:
        raise trouble(DBAPIError("VACUUM", None, error), archive.place.shown, lost=False) from error
    finally:
        connection.close()
    if busy:
        raise ArchiveError(f"{archive.place.shown} is being read by another command.", "Try again when that is done.")


def slices(document: bytes) -> list[bytes]:
    """Pieces of a stored document that no other one has."""
    starts = [int(len(document) * place) for place in _PLACES]
    return [document[start : start + SLICE] for start in starts if start + SLICE <= len(document)]


def bytes_of(name: str) -> set[bytes]:
    """How a name would stand in a file; one of few letters as the table of people has it, with its key behind it."""
    forms = {unicodedata.normalize(form, one) for one in (name, person_key(name)) for form in ("NFC", "NFD")}
    found = {form.encode().lower() for form in forms}
    return found if min(map(len, found)) >= _LEAST else {(name + person_key(name)).encode().lower()}


def still_in(file: Path, needles: Collection[bytes], *, lower: bool, tell: Callable[[float], None]) -> set[bytes]:
    """Which of the needles stand in a database file or the files beside it; with `lower`, in any case of a-z.

    Raises ArchiveError where they cannot be read.
    """
    found: set[bytes] = set()
    search = _Search(needles)
    for chunk in _chunks(file, max(map(len, needles), default=1), tell):
        found |= search.find(chunk.lower() if lower else chunk)
    return found


class _Search:
    """Looks for many needles in one go, by their first bytes."""

    def __init__(self, needles: Collection[bytes]) -> None:
        import numpy as np

        self._by_key: dict[bytes, list[bytes]] = defaultdict(list)
        self._first = np.zeros(1 << 8 * _KEY, dtype=bool)
        for needle in needles:
            if len(needle) >= _KEY:
                self._by_key[needle[:_KEY]].append(needle)
                self._first[int.from_bytes(needle[:_KEY], "little")] = True

    def find(self, chunk: bytes) -> set[bytes]:
        import numpy as np

        if len(chunk) < _KEY or not self._by_key:
            return set()
        values = np.frombuffer(chunk, dtype=np.uint8).astype(np.uint32)
        keys = values[:-2] | values[1:-1] << 8 | values[2:] << 16
        places = np.flatnonzero(self._first[keys]).tolist()
        return {
            needle
            for place in places
            for needle in self._by_key[chunk[place : place + _KEY]]
            if chunk.startswith(needle, place)
        }


def _chunks(file: Path, longest: int, tell: Callable[[float], None]) -> Iterator[bytes]:
    """The bytes of a database and of the files beside it, each piece with the end of the one before."""
    paths = [path for end in ("", "-wal", "-shm") if (path := file.with_name(file.name + end)).exists()]
    try:
        total, done = sum(path.stat().st_size for path in paths) or 1, 0
        for path in paths:
            before = b""
            with path.open("rb") as opened:
                while read := opened.read(_CHUNK):
                    yield before + read
                    before = read[-longest:]
                    done += len(read)
                    tell(min(1.0, done / total))
    except OSError as error:
        raise ArchiveError(f"Cannot read {file}: {error.strerror or error}.", "Check who may read it.") from error
