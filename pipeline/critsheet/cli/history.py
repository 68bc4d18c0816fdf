"""`critsheet history`: the notes of one shot over all its submissions."""

from pathlib import Path
from typing import Annotated

import typer

from critsheet.cli.console import say
from critsheet.errors import OutputError

_Folder = Annotated[
    Path,
    typer.Argument(
        metavar="FOLDER", help="A folder with the sheets of one shot, as critsheet make wrote them.", show_default=False
    ),
]
_Out = Annotated[Path | None, typer.Option(metavar="FILE", help="A page to write as well: history.html.")]


def history(folder: _Folder, out: _Out = None) -> None:
    """Show which notes of a shot came, stayed and went.

    Reads every sheet in the folder and in the folders in it, in order of submission, and prints a table:
    what is still open, and since when; what is solved.

    Example: critsheet history . --out history.html
    """
    if out is not None:
        _check(out)
    from rich.console import Console

    from critsheet import vocabulary
    from critsheet.history import check_one_shot, in_turn, read_sheets, shot_history
    from critsheet.render.history import summary, to_history_page, to_table
    from critsheet.render.texts import english
    from critsheet.sheet import write_whole

    sheets = read_sheets(folder)
    check_one_shot(sheets)
    told = shot_history(in_turn(sheets, vocabulary.load(())))
    if out is not None:
        write_whole(out, to_history_page(told))
    if told.notes:
        Console().print(to_table(told))
    typer.echo(summary(told, english()))
    if out is not None:
        say(f"The page is {out}")


def _check(path: Path) -> None:
    """Refuses to write over anything, before the sheets are read."""
    if path.exists() or path.is_symlink():
        raise OutputError(f"{path} exists.", "Move it away, or give another file with --out.")
    if not path.parent.is_dir():
        raise OutputError(f"There is no folder {path.parent}.", "Create it, or give another file with --out.")
