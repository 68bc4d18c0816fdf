"""What a batch shows: a line for each recording at work, and at the end what became of each."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from critsheet.cli.console import say

if TYPE_CHECKING:
    from critsheet.batch import Result

_MOST_ROWS = 30
"""Recordings in the table at the end; of more, those that failed."""
_NAME_WIDTH, _BAR_WIDTH = 26, 14
"""With the longest stage, its share and the time left, a line fits a terminal of 80 columns."""


class End(Protocol):
    """Told what became of a recording, and whether that is news."""

    def __call__(self, result: "Result", news: bool) -> None: ...


@contextmanager
def shown_working(count: int, quiet: bool) -> Iterator[tuple[Callable[[str, str, float], None], End]]:
    """A line for each recording at work and a bar for all; where nobody watches, a line for each that is done.

    Gives what is to be told of a recording's stage and its share, and of its end.
    """
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskID, TaskProgressColumn, TextColumn, TimeRemainingColumn

    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(bar_width=_BAR_WIDTH),
        TaskProgressColumn(),
        TextColumn("{task.fields[said]}", markup=False),
        TimeRemainingColumn(),
    )
    hidden = quiet or not console.is_terminal
    with Progress(*columns, console=console, transient=True, disable=hidden) as bar:
        whole = bar.add_task("All", total=count, said=f"0 of {count}")
        lines: dict[str, tuple[TaskID, str]] = {}
        done = 0

        def begin(shown: str, stage: str, share: float) -> None:
            task, before = lines.get(shown) or (bar.add_task(_short(shown), total=1.0, said=stage), stage)
            lines[shown] = task, stage
            if stage != before:
                bar.reset(task)  # each stage has a pace of its own
            bar.update(task, completed=share, said=stage)

        def end(result: "Result", news: bool) -> None:
            nonlocal done
            done += 1
            if result.shown in lines:
                bar.remove_task(lines.pop(result.shown)[0])
            bar.update(whole, completed=done, said=f"{done} of {count}")
            if hidden and news and not quiet:
                say(f"{done} of {count}: {result.shown}: {_said(result)}")

        yield begin, end


def report(results: "dict[str, Result]", found: int, lost: Sequence[str], out: Path, quiet: bool) -> None:
    """Show what became of each recording, and write it as a table beside the sheets.

    `found` is how many there are, `lost` what the names file names and the folder does not hold. Raises OutputError.
    """
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    from critsheet.render.words import plain

    ordered = [results[shown] for shown in sorted(results)]
    failed = [one for one in ordered if one.outcome == "failed"]
    listed = failed if quiet or len(ordered) > _MOST_ROWS else ordered
    if listed:
        table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
        table.add_column("Recording", ratio=2)
        table.add_column("Result", ratio=3)
        for one in listed:
            recording = Text(plain(one.shown), overflow="fold")
            table.add_row(recording, Text(_said(one), style="red" if one in failed else ""))
        Console().print(table)
    _write(ordered, out)
    if lost and not quiet:
        more = f" and {len(lost) - 3} more" if len(lost) > 3 else ""
        say(f"The names file names what is not there: {', '.join(lost[:3])}{more}.")
    if not quiet:
        say(_summary(ordered, found, out))


def _write(ordered: "Sequence[Result]", out: Path) -> None:
    from filelock import FileLock

    from critsheet.batch.job import TABLE, WORKSPACE
    from critsheet.render.comma_table import table_text
    from critsheet.render.words import plain
    from critsheet.sheet import write_whole

    rows = [
        (one.shown, one.outcome, "" if one.outcome == "failed" else str(one.notes), one.folder, one.problem)
        for one in ordered
    ]
    text = table_text(["Recording", "Result", "Notes", "Folder", "Problem"], [tuple(map(plain, row)) for row in rows])
    with FileLock(out / WORKSPACE / "table.lock"):
        write_whole(out / TABLE, text)


def _said(result: "Result") -> str:
    from critsheet.render.words import plain

    if result.outcome == "failed":
        return plain(f"failed: {result.problem}")
    notes = f"{result.notes} {'note' if result.notes == 1 else 'notes'}"
    return {"made": f"made, {notes}", "already there": f"already there, {notes}"}.get(result.outcome, result.outcome)


def _summary(ordered: "Sequence[Result]", found: int, out: Path) -> str:
    if not ordered:
        return f"None of {found} recordings is done yet." if found else "There is no recording in it."
    counts = Counter(one.outcome for one in ordered)
    told = ", ".join(f"{count} {outcome}" for outcome, count in counts.items())
    return f"{len(ordered)} {'recording' if len(ordered) == 1 else 'recordings'}: {told}. The sheets lie in {out}"


def _short(shown: str) -> str:
    from critsheet.render.words import plain

    name = plain(shown)
    return name if len(name) <= _NAME_WIDTH else f"…{name[-_NAME_WIDTH + 1 :]}"
