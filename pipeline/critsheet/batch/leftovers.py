"""Clears away what a killed batch left half-written."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

from critsheet.batch.job import TABLE, WORKSPACE
from critsheet.errors import OutputError

_HALF_WRITTEN = ".critsheet-"
"""How `render.folder.write` begins the names of its temporary folders."""


def clear_leftovers(out: Path) -> None:
    """Take away half-written folders and files below `out`, unless some batch is at work there. Raises OutputError.

    Whoever writes holds a lock; so what was seen before all locks are found free is nobody's.
    """
    try:
        (out / WORKSPACE).mkdir(parents=True, exist_ok=True)
        left = list(_left(out))
        if left and not _at_work(out / WORKSPACE):
            for path in left:
                shutil.rmtree(path, ignore_errors=True) if path.is_dir() else path.unlink(missing_ok=True)
    except OSError as error:
        raise OutputError(
            f"Cannot write {out}: {error.strerror or error}.", "Choose another folder with --out, or free some space."
        ) from error


def _left(out: Path) -> Iterator[Path]:
    for inside, folders, _ in os.walk(out):
        yield from (Path(inside) / name for name in folders if name.startswith(_HALF_WRITTEN))
        folders[:] = [name for name in folders if not name.startswith(".")]
    yield from (*out.glob(f".{TABLE}.*"), *(out / WORKSPACE).glob(".*.json.*"))


def _at_work(workspace: Path) -> bool:
    from filelock import FileLock, Timeout

    try:
        for lock in sorted(workspace.glob("*.lock")):
            with FileLock(lock, timeout=0):
                pass
    except Timeout:
        return True
    return False
