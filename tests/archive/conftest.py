"""An empty archive in a file and one on a server: everything must hold for both."""

import os
from collections.abc import Iterator
from pathlib import Path

import postgres_server
import pytest


@pytest.fixture(scope="session")
def server() -> Iterator[postgres_server.Server]:
    """A PostgreSQL server; a test that needs it is skipped, or fails in CI, where none is installed."""
    binaries = postgres_server.programs()
    if binaries is None:
        reason = "needs a PostgreSQL server: Debian's package postgresql"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
    with postgres_server.running(binaries) as started:
        yield started


@pytest.fixture(params=["file", "server"])
def archive_place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a new archive may be made: a path, then a URL."""
    if request.param == "file":
        return str(tmp_path / "archive.db")
    return str(request.getfixturevalue("server").new_database())
