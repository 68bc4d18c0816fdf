"""A batch whose notes are found at once, for a process that will be killed."""

import signal
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "cli"))

from invented_talk import TALK, one_note_a_caption

import critsheet.cli.job
import critsheet.make
import critsheet.notes
import critsheet.render.folder
from critsheet import cli
from critsheet.batch.job import pack_of
from critsheet.cli import batch

# Loaded before the process is copied, so that it is killed at work and not while it starts.
pack_of(())


def write_talks(tree: Path, count: int) -> list[str]:
    """So many different talks as captions, in two folders; gives their names."""
    names = [f"{'first' if place % 2 else 'second'}/talk{place:02}" for place in range(count)]
    for place, name in enumerate(names):
        path = (tree / name).with_suffix(".vtt")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(TALK.replace("142", str(142 + place)))
    return names


def run(*arguments: str) -> None:
    """Run a command line, and end this process with its exit status."""
    batch.LOOK_S = 0.1
    signal.signal(signal.SIGINT, signal.default_int_handler)
    critsheet.notes.find_notes = one_note_a_caption  # type: ignore[assignment]
    sys.exit(cli.run(arguments))
