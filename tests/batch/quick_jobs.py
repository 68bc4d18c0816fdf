"""Jobs whose notes are found at once, and such that kill the process they run in, as a lack of memory does.

In a module of their own, which workers load.
"""

import os
import signal
from pathlib import Path
from typing import NoReturn

from quick_batch import one_note_a_caption

import critsheet.notes
import critsheet.render.folder
from critsheet.batch import Job

ALWAYS, ONCE = "always", "once"


def _die(*_: object) -> NoReturn:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError


class QuickJob(Job):
    """Finds one note a caption."""

    @property
    def folder(self) -> Path:
        critsheet.notes.find_notes = one_note_a_caption  # type: ignore[assignment]
        return super().folder


class DeadlyJob(QuickJob):
    """Dies for the recording called "always"; for "once" the first time only, when its files are half-written."""

    @property
    def folder(self) -> Path:
        name = self.recording.path.stem
        if name == ALWAYS:
            _die()
        marker = self.recording.path.with_suffix(".died")
        if name == ONCE and not marker.exists():
            marker.touch()
            critsheet.render.folder._put = _die
        return super().folder
