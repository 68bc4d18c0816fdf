"""`critsheet batch`: every recording in a folder tree."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.batch_told import report, shown_working
from critsheet.cli.console import complain
from critsheet.errors import CritsheetError, InputError

if TYPE_CHECKING:
    from critsheet.batch import Batch, Job, Options, Result

SOME_FAILED = 1
MOST_WORKERS = 64
LOOK_S = 5.0
"""How often a watched folder is looked through: often enough for people, rarely enough for a shared disk."""
EPILOG = "Ends with status 0 where every recording has its sheet, and with 1 where any failed."
_WORK = "The work"
_Tree = Annotated[Path, typer.Argument(metavar="FOLDER", help="A folder with recordings, anywhere in it.")]
_Out = Annotated[Path, typer.Option(metavar="DIR", help="Where the sheets go, a folder each, laid out as in FOLDER.")]
_Names = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        help="A table (CSV) that says whose each recording is; its columns: file, student, mentor, shot, submission, "
        "shot file, fps, frames, names.",
    ),
]
_Fps = Annotated[str | None, typer.Option(metavar="RATE", help="Frames a second, where the names file does not say.")]
_Workers = Annotated[
    int,
    typer.Option(
        metavar="N",
        min=1,
        max=MOST_WORKERS,
        help="So many at once, on one processor core each.",
        rich_help_panel=_WORK,
    ),
]
_Cluster = Annotated[
    str | None,
    typer.Option(
        metavar="ADDRESS",
        help="Let a cluster's workers do it: tcp://HOST:8786. All must see the folders.",
        rich_help_panel=_WORK,
    ),
]
_Watch = Annotated[
    bool,
    typer.Option("--watch", help="Go on looking for new recordings, until Ctrl-C.", rich_help_panel=_WORK),
]
_Quiet = Annotated[
    bool,
    typer.Option("--quiet", help="Write the sheets and print nothing but failures.", rich_help_panel="The result"),
]


def batch(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    folder: _Tree,
    out: _Out,
    names: _Names = None,
    fps: _Fps = None,
    workers: _Workers = 1,
    cluster: _Cluster = None,
    watch: _Watch = False,
    vocab: options.Vocab = None,
    model: options.Model = None,
    device: options.Device = options.DEVICES[0],
    templates: options.Templates = None,
    sheet_language: options.SheetLanguage = "en",
    quiet: _Quiet = False,
) -> None:
    """Make a sheet of every recording in a folder.

    What is made already is passed over, so that a stopped batch goes on where it
    was. A file that cannot be used never stops the others: the table at the end
    says what became of each, and so does batch.csv beside the sheets. Captions
    (.vtt, .srt) give the words of the recording that has their name; without one
    they make a sheet themselves. Where the names file gives several submissions
    of a shot, each sheet says what became of the notes before.

    Example: critsheet batch reviews --out sheets --names reviews.csv --workers 4
    """
    if cluster is not None and workers != 1:
        raise InputError("--workers and --cluster both say who does the work.", "Give one of them.")
    from critsheet.batch import Batch, Options
    from critsheet.batch.job import pack_of
    from critsheet.batch.leftovers import clear_leftovers
    from critsheet.render.templates import read_templates

    chosen = Options(
        out=out.absolute(),
        vocab=tuple(path.absolute() for path in vocab or ()),
        model=str(Path(model).absolute()) if model and Path(model).is_dir() else model,
        device=options.device(device),
        templates=templates.absolute() if templates else None,
        sheet_language=sheet_language,
        fps=options.rate(fps),
    )
    # A mistake in what is typed shows once, before any work.
    pack_of(chosen.vocab)
    read_templates(templates, sheet_language)

    def look() -> _Seen:
        return _look(folder.absolute(), chosen, names)

    state = _State(look())
    clear_leftovers(chosen.out)
    with Batch.opened(workers, cluster) as pool:
        try:
            _work(pool, look, state, watch, quiet)
        finally:
            report(state.results, len(state.seen.jobs), state.seen.lost, chosen.out, quiet)
    clear_leftovers(chosen.out)  # of a worker that died
    if any(result.outcome == "failed" for result in state.results.values()):
        raise typer.Exit(SOME_FAILED)


@dataclass(frozen=True)
class _Seen:
    """What lies in the folder: recordings, folders that cannot be read, and what the names file names in vain."""

    jobs: "list[Job]"
    closed: "list[Result]"
    lost: list[str]


class _State:
    """What was seen last and what became of each, with size and time of its file: at the look before, and when done."""

    def __init__(self, seen: _Seen) -> None:
        self.seen = seen
        self.results: dict[str, Result] = {}
        self.before: dict[str, list[int]] = {}
        self.done: dict[str, list[int]] = {}


def _look(tree: Path, chosen: "Options", names: Path | None) -> _Seen:
    from critsheet.batch import Job, Result, find, read_names
    from critsheet.batch.names_file import matched

    closed: list[Result] = []

    def refuse(folder: str, why: str) -> None:
        problem = f"Cannot read the folder: {why}. Ask for leave to read it, or move it away."
        closed.append(Result(folder, "failed", problem=problem))

    rows = read_names(names.absolute(), tree) if names else []
    recordings = find(tree, chosen.out, [row.shot for row in rows if row.shot], refuse)
    named, lost = matched(rows, recordings, names or tree)
    return _Seen([Job(recording, chosen, named.get(recording.shown)) for recording in recordings], closed, lost)


def _work(pool: "Batch", look: Callable[[], _Seen], state: _State, watch: bool, quiet: bool) -> None:
    """Do all there is to do; with `watch`, look again until Ctrl-C."""
    trouble = ""
    while True:
        state.results.update({one.shown: one for one in state.seen.closed})
        _one_pass(pool, state, watch, quiet)
        if not watch:
            return
        time.sleep(LOOK_S)
        try:
            state.seen, trouble = look(), ""
        except CritsheetError as error:
            # A shared disk that is away for a moment, or a names file that is being edited, ends no night's watch.
            state.seen = _Seen([], [], [])
            if trouble != (trouble := str(error)):
                complain(trouble)


def _one_pass(pool: "Batch", state: _State, watch: bool, quiet: bool) -> None:
    """Do what was not done yet, was changed since, or was in another run's hand.

    A watched file waits until two looks find it the same: one that grows is still being copied.
    """
    from critsheet.batch.submissions import rounds

    now = {job.recording.shown: _touched(job) for job in state.seen.jobs}
    settled = {shown: touched for shown, touched in now.items() if touched and touched == state.before.get(shown)}
    due = {shown for shown in (settled if watch else now) if now[shown] != state.done.get(shown)}
    state.before = now
    if not due:
        return
    with shown_working(len(due), quiet) as (begin, end):
        for some in rounds(state.seen.jobs):
            for result in pool.run([job for job in some if job.recording.shown in due], begin):
                end(result, news=result != state.results.get(result.shown))
                state.results[result.shown] = result
                if result.outcome != "being made by another run":
                    state.done[result.shown] = now[result.shown]


def _touched(job: "Job") -> list[int]:
    from critsheet.batch.job import touched

    try:
        return touched(job)
    except OSError:
        return []
