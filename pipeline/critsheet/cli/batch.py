"""`critsheet batch`: every recording in a folder tree."""

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import say
from critsheet.errors import InputError

if TYPE_CHECKING:
    from critsheet.batch import Batch, Job, Options, Result
    from critsheet.batch.running import Watch

SOME_FAILED = 1
MOST_WORKERS = 64
LOOK_S = 5.0
"""How often a watched folder is looked through: often enough for people, rarely enough for a shared disk."""
TABLE = "batch.csv"
_SHOWN = 30
"""Recordings in the table at the end; of more, those that failed."""
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
_Workers = Annotated[
    int, typer.Option(metavar="N", min=1, max=MOST_WORKERS, help="So many at once, on one processor core each.")
]
_Cluster = Annotated[
    str | None,
    typer.Option(metavar="ADDRESS", help="Let a cluster's workers do it: tcp://HOST:8786. All must see the folders."),
]
_Watch = Annotated[bool, typer.Option("--watch", help="Go on looking for new recordings, until Ctrl-C.")]
_Fps = Annotated[str | None, typer.Option(metavar="RATE", help="Frames a second, where the names file does not say.")]
_Vocab = Annotated[list[Path] | None, typer.Option(metavar="DIR", help="A folder with your school's own words.")]
_Model = Annotated[str | None, typer.Option(metavar="NAME|DIR", help="Speech model; see: critsheet models.")]
_Device = Annotated[str, typer.Option(metavar="|".join(options.DEVICES), help="cuda uses an NVIDIA graphics card.")]
_SheetLanguage = Annotated[str, typer.Option(metavar="CODE", help="Language of the pages' own texts: en, de.")]
_Quiet = Annotated[bool, typer.Option("--quiet", help="Write the sheets and print nothing but failures.")]


def batch(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    folder: _Tree,
    out: _Out,
    names: _Names = None,
    workers: _Workers = 1,
    cluster: _Cluster = None,
    watch: _Watch = False,
    fps: _Fps = None,
    vocab: _Vocab = None,
    model: _Model = None,
    device: _Device = options.DEVICES[0],
    templates: options.Templates = None,
    sheet_language: _SheetLanguage = "en",
    quiet: _Quiet = False,
) -> None:
    """Make a sheet of every recording in a folder.

    What is made already is passed over, so that a stopped batch goes on where it was. A file that cannot be used never
    stops the others: the table at the end says what became of each, and so does batch.csv beside the sheets. Captions
    (.vtt, .srt) are used where they bear a recording's name, and by themselves where no recording does. Where the names
    file gives several submissions of a shot, each sheet says what became of the notes before.

    Example: critsheet batch reviews --out sheets --names reviews.csv --workers 4
    """
    if cluster is not None and workers != 1:
        raise InputError("--workers and --cluster both say who does the work.", "Give one of them.")
    from critsheet.batch import Batch, Options
    from critsheet.batch.job import pack_of
    from critsheet.batch.leftovers import at_work
    from critsheet.render.templates import read_templates

    chosen = Options(
        out=out.absolute(),
        vocab=tuple(path.absolute() for path in vocab or ()),
        model=model,
        device=options.device(device),
        templates=templates.absolute() if templates else None,
        sheet_language=sheet_language,
        fps=options.rate(fps),
    )
    pack_of(chosen.vocab)  # a mistake in them shows once, before any work
    read_templates(templates, sheet_language)
    results: dict[str, Result] = {}
    _jobs(folder.absolute(), chosen, names, told=not quiet)  # a mistake in the names file shows before workers start
    with at_work(chosen.out), Batch.opened(workers, cluster) as pool:
        try:
            _work(pool, lambda told: _jobs(folder.absolute(), chosen, names, told), results, watch, quiet)
        finally:
            _report(results, chosen.out, quiet)
    if any(result.outcome == "failed" for result in results.values()):
        raise typer.Exit(SOME_FAILED)


def _jobs(tree: Path, chosen: "Options", names: Path | None, told: bool) -> "list[Job]":
    from critsheet.batch import Job, find, read_names
    from critsheet.batch.names_file import matched

    rows = read_names(names.absolute()) if names else []
    recordings = find(tree, chosen.out, [row.shot for row in rows if row.shot])
    named, lost = matched(rows, recordings, names or tree)
    if lost and told:
        say(f"The names file names {len(lost)} that {tree} does not hold: {', '.join(lost[:3])}.")
    return [Job(recording, chosen, named.get(recording.shown)) for recording in recordings]


def _work(
    pool: "Batch", jobs: "Callable[[bool], list[Job]]", results: "dict[str, Result]", watch: bool, quiet: bool
) -> None:
    """Do all there is to do; with `watch`, look again until Ctrl-C."""
    from critsheet.batch.submissions import rounds

    sizes: dict[str, tuple[int, int]] = {}
    while True:
        every = jobs(False)
        new = [job for job in every if job.recording.shown not in results]
        ready = {job.recording.shown for job in new if not watch or _settled(job, sizes)}
        if ready:
            with _shown(len(ready), quiet) as (begin, end):
                for some in rounds(every):
                    for result in pool.run([job for job in some if job.recording.shown in ready], begin):
                        results[result.shown] = result
                        end(result)
        if not watch:
            return
        time.sleep(LOOK_S)


def _settled(job: "Job", sizes: dict[str, tuple[int, int]]) -> bool:
    """Whether a file is as it was at the last look: one that is still being copied waits."""
    try:
        stat = job.recording.path.stat()
    except OSError:
        return False
    now, before = (stat.st_size, stat.st_mtime_ns), sizes.get(job.recording.shown)
    sizes[job.recording.shown] = now
    return now == before or time.time() - stat.st_mtime > LOOK_S


@contextmanager
def _shown(count: int, quiet: bool) -> "Iterator[tuple[Watch, Callable[[Result], None]]]":
    """A line for each recording at work and a bar for all; where nobody watches, a line for each that is done."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskID, TextColumn, TimeRemainingColumn

    from critsheet.render.words import plain

    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=20),
        TextColumn("{task.fields[said]}", markup=False),
        TimeRemainingColumn(),
    )
    hidden = quiet or not console.is_terminal
    with Progress(*columns, console=console, transient=True, disable=hidden) as bar:
        whole = bar.add_task("All", total=count, said=f"0 of {count}")
        lines: dict[str, TaskID] = {}

        def begin(shown: str, stage: str, share: float) -> None:
            if shown not in lines:
                lines[shown] = bar.add_task(_short(plain(shown)), total=1.0, said="")
            bar.update(lines[shown], completed=share, said=stage)

        def end(result: "Result") -> None:
            if (line := lines.pop(result.shown, None)) is not None:
                bar.remove_task(line)
            done = int(bar.tasks[0].completed) + 1
            bar.update(whole, completed=done, said=f"{done} of {count}")
            if hidden and not quiet:
                say(f"{done} of {count}: {result.shown}: {_said(result)}")

        yield begin, end


def _report(results: "dict[str, Result]", out: Path, quiet: bool) -> None:
    """What became of each, on the terminal and as a table beside the sheets."""
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from critsheet.render.comma_table import table_text
    from critsheet.render.words import plain
    from critsheet.sheet import write_whole

    ordered = [results[shown] for shown in sorted(results)]
    rows = [tuple(map(plain, (one.shown, one.outcome, str(one.notes), one.folder, one.problem))) for one in ordered]
    write_whole(out / TABLE, table_text(["Recording", "Result", "Notes", "Folder", "Problem"], rows))
    failed = [one for one in ordered if one.outcome == "failed"]
    listed = failed if quiet or len(ordered) > _SHOWN else ordered
    if listed:
        table = Table("Recording", "Result", box=box.SIMPLE_HEAD, pad_edge=False)
        for one in listed:
            table.add_row(
                Text(plain(one.shown), overflow="fold"), Text(_said(one), style="red" if one in failed else "")
            )
        Console().print(table)
    if not quiet:
        say(_summary(ordered, out))


def _said(result: "Result") -> str:
    from critsheet.render.words import plain

    if result.outcome == "failed":
        return plain(result.problem)
    if result.outcome == "made":
        return f"{result.notes} {'note' if result.notes == 1 else 'notes'}"
    return result.outcome


def _summary(ordered: "Sequence[Result]", out: Path) -> str:
    if not ordered:
        return "There is no recording in it."
    counts = {
        outcome: sum(one.outcome == outcome for one in ordered)
        for outcome in dict.fromkeys(one.outcome for one in ordered)
    }
    told = ", ".join(f"{count} {outcome}" for outcome, count in counts.items())
    return f"{len(ordered)} {'recording' if len(ordered) == 1 else 'recordings'}: {told}. The sheets lie in {out}"


def _short(shown: str) -> str:
    return shown if len(shown) <= 30 else f"…{shown[-29:]}"
