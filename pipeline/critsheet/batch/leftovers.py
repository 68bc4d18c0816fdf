"""Clears away what a killed batch left half-written, while no other batch is at work on the same result."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from critsheet.batch.job import WORKSPACE
from critsheet.errors import OutputError

_HALF_WRITTEN = ".critsheet-"
"""How `render.folder.write` begins the names of its temporary folders."""


@contextmanager
def at_work(out: Path) -> Iterator[None]:
    """Hold a place among the batches that write into `out`; the only one there first clears leftovers away.

    The places are file locks, which the system lets go of however a process ends. Raises OutputError.
    """
    from filelock import FileLock

    workspace = out / WORKSPACE
    try:
        workspace.mkdir(parents=True, exist_ok=True)
        own = FileLock(workspace / f"run-{os.uname().nodename if hasattr(os, 'uname') else 'here'}-{os.getpid()}.run")
        with FileLock(workspace / "start.lock"):
            if not _others(workspace, Path(own.lock_file)):
                for left in _left(out):
                    shutil.rmtree(left, ignore_errors=True)
            own.acquire(timeout=0)
    except OSError as error:
        raise OutputError(
            f"Cannot write {out}: {error.strerror or error}.", "Choose another folder with --out, or free some space."
        ) from error
    try:
        yield
    finally:
        own.release()
        Path(own.lock_file).unlink(missing_ok=True)


def _others(workspace: Path, own: Path) -> bool:
    """Whether another batch is at work. The marks of those that died are taken away."""
    from filelock import FileLock, Timeout

    busy = False
    for mark in sorted(workspace.glob("*.run")):
        if mark == own:
            continue
        try:
            with FileLock(mark, timeout=0):
                pass
            mark.unlink(missing_ok=True)
        except Timeout:
            busy = True
    return busy


def _left(out: Path) -> Iterator[Path]:
    for inside, folders, _ in os.walk(out):
        yield from (Path(inside) / name for name in folders if name.startswith(_HALF_WRITTEN))
        folders[:] = [name for name in folders if not name.startswith(".")]
