"""Work in a process of its own, which may be killed, limited, or run as a plain user, without hurting the tests."""

import os
import signal
import sys
import tempfile
import traceback
from collections.abc import Callable
from pathlib import Path

NOBODY = 65534
"""The user that owns nothing, on every Linux."""


class Child:
    """A running copy of this process that does `work` and leaves with the status that it returns."""

    def __init__(self, work: Callable[[], int]) -> None:
        handle, name = tempfile.mkstemp()
        self._said = Path(name)
        sys.stdout.flush()
        sys.stderr.flush()
        self.pid = os.fork()
        if self.pid == 0:
            _run(work, handle)
        os.close(handle)

    def kill(self) -> None:
        """End it at once, in whatever it is doing."""
        os.kill(self.pid, signal.SIGKILL)
        self.wait()

    def wait(self) -> tuple[int, str]:
        """Its exit status (below zero where a signal ended it), and all that it wrote."""
        _, status = os.waitpid(self.pid, 0)
        said = self._said.read_text()
        self._said.unlink()
        return os.waitstatus_to_exitcode(status), said


def _run(work: Callable[[], int], handle: int) -> None:
    status = 1
    try:
        os.dup2(handle, 1)
        os.dup2(handle, 2)
        sys.stdout, sys.stderr = (os.fdopen(number, "w", closefd=False) for number in (1, 2))
        status = work()
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def as_plain_user(work: Callable[[], int]) -> Callable[[], int]:
    """The work without root's right to write everywhere; the modules that it needs must be imported already."""

    def plain() -> int:
        if os.geteuid() == 0:
            os.setgroups([])
            os.setresgid(NOBODY, NOBODY, NOBODY)
            os.setresuid(NOBODY, NOBODY, NOBODY)
        return work()

    return plain
