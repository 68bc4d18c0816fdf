"""Opens an archive, and runs each piece of work on it in one transaction."""

import os
import sqlite3
import time
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Any, TypeVar
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import QueuePool

from critsheet.archive import migrations
from critsheet.archive.place import Place, make_folder, read_place
from critsheet.archive.troubles import trouble
from critsheet.errors import ArchiveError, InputError

BUSY_S = 30.0
"""So long a command waits for another one that is writing."""
CONNECT_S = 10
TRIES = 5
FIRST_PAUSE_S = 0.2
"""Before a lost connection is tried anew; each pause is twice the one before, three seconds in all."""
_PRIVATE = 0o600
"""Sheets are personal: the file is its owner's alone, until they say otherwise."""
_LOCK = f"SELECT pg_advisory_xact_lock({0x63726974})"
"""One writer at a time on a server as well as in a file: two that add one sheet never double it."""
Result = TypeVar("Result")


class Archive:
    """An open archive. Every piece of work happens in one transaction: whole or not at all."""

    def __init__(self, place: Place, engine: Engine) -> None:
        self.place = place
        self.engine = engine

    @property
    def file(self) -> Path | None:
        """The database file; None where the archive lies on a server."""
        return self.place.file

    def read(self, work: Callable[[Connection], Result]) -> Result:
        """What `work` reads. Raises ArchiveError."""
        return self._run(work, self.engine.connect)

    def write(self, work: Callable[[Connection], Result]) -> Result:
        """Do `work` and commit it. It may be run again where a connection is lost, so it must bear that.

        Raises ArchiveError; then nothing of it was written.
        """
        return self._run(work, self.engine.begin)

    def close(self) -> None:
        """Let go of all connections."""
        self.engine.dispose()

    def __enter__(self) -> "Archive":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def _run(self, work: Callable[[Connection], Result], transaction: Callable[[], Any]) -> Result:
        pause = FIRST_PAUSE_S
        for attempt in range(1, TRIES + 1):
            try:
                with transaction() as connection:
                    return work(connection)
            except DBAPIError as error:
                lost = error.connection_invalidated or (self.file is None and _never_connected(error))
                if not lost or attempt == TRIES:
                    raise trouble(error, self.place.shown, lost=lost) from error
                time.sleep(pause)
                pause *= 2
        raise AssertionError("every try returns or raises")


def open_archive(place: str | None, *, create: bool = False, writing: bool = False) -> Archive:
    """The archive at a place, brought to this Critsheet's schema where it is older.

    `create` makes a new one where there is none. Raises InputError where there is none, ArchiveError where it cannot be
    opened or is newer.
    """
    where = read_place(place)
    if where.file is not None:
        _check_file(where.file, create=create, writing=writing)
    _upgrade(where)
    return Archive(where, _engine(where, writing))


def _check_file(file: Path, *, create: bool, writing: bool) -> None:
    try:
        folder, there = file.is_dir(), file.exists() and file.stat().st_size > 0
    except OSError as error:
        raise ArchiveError(
            f"{file} cannot be opened: {error.strerror or error}.", "Check the path and who may read it."
        ) from error
    if folder:
        raise InputError(f"{file} is a folder.", "Give the file of an archive with --archive.")
    if not there and not create:  # an empty file was only just created, or cut off
        raise InputError(
            f"There is no archive at {file}.",
            "Add sheets first: critsheet archive add FOLDER. Another place is given with --archive.",
        )
    if not there:
        _create(file)
    elif writing and not may_write(file):
        # SQLite would open it for reading instead, and say so only when it is too late for a clear word.
        raise ArchiveError(f"{file} may not be written to.", "Ask its owner, or give another place with --archive.")


def _create(file: Path) -> None:
    try:
        make_folder(file)
        file.touch(mode=_PRIVATE, exist_ok=True)
    except OSError as error:
        raise ArchiveError(
            f"Cannot create {file}: {error.strerror or error}.", "Give another place with --archive."
        ) from error


def _upgrade(where: Place) -> None:
    """Take the steps that an older archive lacks, each on its own. Nothing is written to any other database."""
    with Archive(where, _engine(where, writing=False)) as reading:
        if reading.read(migrations.version) == len(migrations.STEPS):
            return
    with Archive(where, _engine(where, writing=True)) as upgrading:
        while upgrading.write(migrations.next_step):
            pass


def _engine(where: Place, writing: bool) -> Engine:
    if where.url is not None:
        engine = create_engine(where.url, connect_args={"connect_timeout": CONNECT_S}, pool_pre_ping=True)
        if writing:
            event.listen(engine, "begin", lambda connection: connection.exec_driver_sql(_LOCK))
        return engine
    file = where.file or Path()

    def connect() -> sqlite3.Connection:
        return _open_file(file, writing)

    engine = create_engine("sqlite+pysqlite://", creator=connect, poolclass=QueuePool)
    begin = "BEGIN IMMEDIATE" if writing else "BEGIN"
    event.listen(engine, "begin", lambda connection: connection.exec_driver_sql(begin))
    return engine


def _open_file(file: Path, writing: bool) -> sqlite3.Connection:
    """A connection that leaves transactions to us, keeps foreign keys, and overwrites with zeros what it deletes."""
    uri = "file:" + quote(str(file.absolute()))
    # Killed while it was created, it has a journal beside it that only somebody who may write can roll back.
    broken_off = file.with_name(file.name + "-journal").exists() and may_write(file)
    mode = "?mode=rw" if writing or broken_off else "?mode=ro"
    if not writing and not any(file.with_name(file.name + end).exists() for end in ("-wal", "-shm", "-journal")):
        # Closed by its last writer: everything lies in the file itself, which may be on a read-only disk.
        mode += "" if os.access(file.resolve().parent, os.W_OK) else "&immutable=1"
    connection = sqlite3.connect(uri + mode, uri=True, timeout=BUSY_S, isolation_level=None, check_same_thread=False)
    try:
        for pragma in ("foreign_keys=ON", "secure_delete=ON", "trusted_schema=OFF", "cache_size=-65536"):
            connection.execute(f"PRAGMA {pragma}")
        if writing:
            connection.execute("PRAGMA journal_mode=WAL")
    except BaseException:
        connection.close()
        raise
    return connection


def may_write(file: Path) -> bool:
    """Whether an archive may be written to; SQLite needs to write beside it, too."""
    return os.access(file, os.W_OK) and os.access(file.resolve().parent, os.W_OK)


def _never_connected(error: DBAPIError) -> bool:
    """Whether a server did not answer at all, which may pass: not where it refused a name or a password."""
    import psycopg

    return isinstance(error.orig, psycopg.OperationalError) and getattr(error.orig, "sqlstate", None) is None
