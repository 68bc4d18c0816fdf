"""Makes the sheet of one recording, whichever process or machine it runs in."""

import hashlib
import json
import os
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Final, Literal

from critsheet.batch.finding import Recording
from critsheet.batch.names_file import Named
from critsheet.errors import CritsheetError, OutputError

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

WORKSPACE = ".batch"
"""A hidden folder in the result's, for locks and for what is known of recordings already made."""
TABLE = "batch.csv"
_WAIT_S = 0.2
"""For a lock: longer than a look whether anyone holds it, shorter than anyone notices."""
MADE: Final = "made"
THERE: Final = "already there"
ELSEWHERE: Final = "being made by another run"
FAILED: Final = "failed"
Outcome = Literal["made", "already there", "being made by another run", "failed"]
Tell = Callable[[str, float], None]


@dataclass(frozen=True)
class Options:
    """What holds for all recordings."""

    out: Path
    vocab: tuple[Path, ...] = ()
    model: str | None = None
    device: str = "cpu"
    templates: Path | None = None
    sheet_language: str = "en"
    fps: str | None = None


@dataclass(frozen=True)
class Job:
    """One recording to be made into a sheet; `previous` is the folder of the submission before it."""

    recording: Recording
    options: Options
    named: Named | None = None
    previous: Path | None = None

    @property
    def folder(self) -> Path:
        """The folder of its sheet."""
        return self.options.out / self.recording.folder


@dataclass(frozen=True)
class Result:
    """What became of a recording; `problem` is the one line that says why it failed."""

    shown: str
    outcome: Outcome
    folder: str = ""
    notes: int = 0
    problem: str = ""


def make_one(job: Job, tell: Tell) -> Result:
    """Make one sheet, unless it is there already or another run is at it. Whatever goes wrong is in the result."""
    from filelock import FileLock, Timeout

    folder, shown = str(job.folder), job.recording.shown
    lock = FileLock(_beside(job, ".lock"))
    try:
        touched(job)  # where a machine does not see the recording, nothing is written there
        (job.options.out / WORKSPACE).mkdir(parents=True, exist_ok=True)
        with lock.acquire(timeout=_WAIT_S):
            if (known := _already(job)) is not None:
                return Result(shown, THERE, folder, known)
            return Result(shown, MADE, folder, _make(job, tell))
    except Timeout:
        return Result(shown, ELSEWHERE, folder)
    except CritsheetError as error:
        # The table names the recording already: its whole path would fill a narrow terminal.
        return Result(shown, FAILED, problem=str(error).replace(str(job.recording.path), job.recording.path.name))
    except OSError as error:
        return Result(shown, FAILED, problem=f"{error.filename or folder}: {error.strerror or error}.")
    except Exception as error:
        # A file that no one foresaw must not stop the others; a single `critsheet make` shows what it is.
        return Result(shown, FAILED, problem=f"{type(error).__name__}: {error}. Try it alone: critsheet make.")


def _make(job: Job, tell: Tell) -> int:
    from critsheet.cli.job import write_told
    from critsheet.make import Request
    from critsheet.render.folder import SHEET
    from critsheet.speech import DEFAULT_MODEL

    options, named, recording = job.options, job.named or Named(job.recording.shown, 0), job.recording
    alone = recording.path.suffix.lower() in (".vtt", ".srt")
    request = Request(
        recording=None if alone else recording.path,
        captions=recording.path if alone else recording.captions,
        previous=job.previous if job.previous and (job.previous / SHEET).is_file() else None,
        title=named.title,
        mentor=named.mentor,
        student=named.student,
        submission=named.submission,
        fps=named.fps or options.fps,
        first=named.first,
        last=named.last,
        shot=named.shot,
        names=named.names,
        vocab=options.vocab,
        model=options.model or DEFAULT_MODEL,
        device=options.device,
        sheet_language=options.sheet_language,
    )
    sheet = write_told(request, job.folder, tell, options.templates, pack_of(options.vocab))
    _remember(job, sheet.review.recording.sha256)
    return len(sheet.notes)


@lru_cache(maxsize=1)
def pack_of(folders: tuple[Path, ...]) -> "Vocabulary":
    """The vocabulary, loaded once a process. Raises VocabularyError."""
    from critsheet import vocabulary

    return vocabulary.load(folders)


def _already(job: Job) -> int | None:
    """How many notes the sheet of this very recording has; None where there is none yet."""
    from critsheet import media
    from critsheet.render.folder import SHEET
    from critsheet.sheet import load

    path = job.folder / SHEET
    if not path.is_file():
        return None
    sheet = load(path)
    known = _known_hash(job)
    if sheet.review.recording.sha256 != (known or media.sha256(job.recording.path)):
        raise OutputError(
            f"{job.folder} holds the sheet of another recording.", "Move it away: the recording was changed since."
        )
    if known is None:
        _remember(job, sheet.review.recording.sha256)
    return len(sheet.notes)


def _known_hash(job: Job) -> str | None:
    """The recording's hash, where it was not touched since it was taken: a film takes a while to read."""
    with suppress(OSError, ValueError, AttributeError):
        kept = json.loads(_beside(job, ".json").read_bytes())
        if kept.get("touched") == touched(job):
            return str(kept["sha256"])
    return None


def _remember(job: Job, sha256: str) -> None:
    from critsheet.sheet import write_whole

    with suppress(OSError, OutputError):
        write_whole(_beside(job, ".json"), json.dumps({"touched": touched(job), "sha256": sha256}))


def touched(job: Job) -> list[int]:
    """Size and time of the recording, the same as long as nobody writes to it. Raises OSError."""
    stat = job.recording.path.stat()
    return [stat.st_size, stat.st_mtime_ns]


def _beside(job: Job, suffix: str) -> Path:
    """A file of ours about one recording; its name holds nothing that a file system could refuse."""
    key = hashlib.sha256(os.fsencode(job.recording.folder)).hexdigest()[:24]
    return job.options.out / WORKSPACE / f"{key}{suffix}"
