"""The user's own cache: joined speech weights and what has been heard so far. Deleting it loses only time."""

import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import platformdirs

from critsheet.errors import OutputError
from critsheet.sheet import write_whole

_PRIVATE = 0o700
"""What was said is personal: only the user may look into the folder."""


def cache_folder() -> Path:
    """The folder that Critsheet keeps in the user's cache; it need not exist yet."""
    return platformdirs.user_cache_path("critsheet", appauthor=False)


def _make_private(folder: Path) -> None:
    """Make a folder in the cache that only the user may look into, and those above it that are missing."""
    for missing in reversed([parent for parent in (folder, *folder.parents) if not parent.exists()]):
        missing.mkdir(exist_ok=True, mode=_PRIVATE)


class Shelf:
    """JSON documents of one piece of work, kept under the cache, each written whole.

    A cache that cannot be written must never stop the work: then nothing is kept, and nothing is said.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def read(self, name: str) -> Any:
        """The document, or None where there is none that is whole."""
        try:
            return json.loads((self.folder / f"{name}.json").read_bytes())
        except (OSError, ValueError):
            return None

    def write(self, name: str, document: Any) -> None:
        """Keep a document."""
        with suppress(OSError, OutputError):
            _make_private(self.folder)
            write_whole(self.folder / f"{name}.json", json.dumps(document, ensure_ascii=False))

    def drop(self, name: str) -> None:
        """Forget a document."""
        with suppress(OSError):
            (self.folder / f"{name}.json").unlink(missing_ok=True)

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Hold the shelf while working; a second process with the same work waits, then finds it done."""
        from filelock import FileLock

        lock = FileLock(self.folder.with_suffix(".lock"))
        # Where the cache is read-only or has no locks, work on: at worst the work is done twice.
        with suppress(OSError, NotImplementedError):
            _make_private(self.folder.parent)
            lock.acquire()
        try:
            yield
        finally:
            lock.release()
