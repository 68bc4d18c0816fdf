"""A PostgreSQL server of one's own, in a temporary folder, gone when the tests are done."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

DEBIAN = Path("/usr/lib/postgresql")


def programs() -> Path | None:
    """The folder with initdb and pg_ctl: Debian's newest, or where PATH leads; None where there is none."""
    debian = sorted(DEBIAN.glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    found = debian[-1] if debian else shutil.which("initdb")
    return Path(found).parent if found else None


class Server:
    """A running server; it can be stopped and started in the middle of a test."""

    def __init__(self, folder: Path, binaries: Path) -> None:
        self._folder = folder
        self._binaries = binaries
        self._databases = count()
        # A server refuses to run as root; Debian's package brings a user for it.
        self._user = "postgres" if os.geteuid() == 0 else None
        if self._user:
            shutil.chown(folder, self._user)
        self._do("initdb", "--pgdata", str(folder / "data"), "--username", "school", "--auth", "trust", "--no-sync")

    def start(self) -> None:
        options = f"-c listen_addresses='' -c fsync=off -c unix_socket_directories='{self._folder}'"
        log = str(self._folder / "log")
        self._do("pg_ctl", "start", "--wait", "-D", str(self._folder / "data"), "-o", options, "-l", log)

    def stop(self) -> None:
        """Throw every connection off and stop."""
        self._do("pg_ctl", "stop", "--wait", "-D", str(self._folder / "data"), "-m", "immediate")

    def new_database(self) -> str:
        """The URL of an empty database."""
        name = f"archive{next(self._databases)}"
        self.run_sql(f"CREATE DATABASE {name}")
        return f"postgresql://school@/{name}?host={self._folder}"

    def run_sql(self, statement: str, database: str = "postgres") -> None:
        self._do("psql", "-h", str(self._folder), "-U", "school", "-q", "-c", statement, database)

    def _do(self, program: str, *arguments: str) -> None:
        subprocess.run(
            [str(self._binaries / program), *arguments],
            check=True,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            user=self._user,
            cwd=self._folder,
        )


@contextmanager
def running(binaries: Path) -> Iterator[Server]:
    """A server while the block runs."""
    folder = Path(tempfile.mkdtemp(prefix="critsheet-pg-"))
    try:
        server = Server(folder, binaries)
        server.start()
        try:
            yield server
        finally:
            server.stop()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
