"""What the commands write to the terminal: complaints, and how far the work is."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from critsheet.errors import InputError


def complain(line: str) -> None:
    """Write one line to stderr, whatever odd characters a file name in it holds."""
    from rich.console import Console
    from rich.text import Text

    from critsheet.render.words import plain

    console = Console(stderr=True)
    console.print(Text("critsheet: ", style="bold red").append(plain(line), style="default"), soft_wrap=True)


def say(line: str) -> None:
    """Write one line of news to stderr, so that stdout holds nothing but the result."""
    from rich.console import Console
    from rich.text import Text

    from critsheet.render.words import plain

    Console(stderr=True).print(Text(plain(line)), soft_wrap=True)


def confirm(question: str, yes: bool) -> None:
    """Ask before something is lost. Raises InputError where nobody can answer, Exit where the answer is no."""
    import typer

    if yes:
        return
    if not sys.stdin.isatty():
        raise InputError("This cannot be undone.", "Say that you mean it with --yes.")
    if not typer.confirm(question, err=True):
        say("Nothing was changed.")
        raise typer.Exit(1)


@contextmanager
def progress(quiet: bool) -> Iterator[Callable[[str, float], None]]:
    """A bar on stderr with the stage at work, its share and the time left; nothing where nobody watches."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskID, TaskProgressColumn, TextColumn, TimeRemainingColumn

    console = Console(stderr=True)
    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(),
        TaskProgressColumn(),
        TimeRemainingColumn(),
        TextColumn("left"),
    )
    hidden = quiet or not console.is_terminal
    with Progress(*columns, console=console, transient=True, disable=hidden) as bar:
        at_work: dict[str, TaskID] = {}

        def tell(stage: str, share: float) -> None:
            if stage not in at_work:
                for task in at_work.values():
                    bar.remove_task(task)
                at_work.clear()
                at_work[stage] = bar.add_task(stage, total=1.0)
            bar.update(at_work[stage], completed=share)

        yield tell
