"""`critsheet done`: a student's ticks go into the sheet."""

from pathlib import Path
from typing import Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import say
from critsheet.cli.job import write_again

_TicksFile = Annotated[
    Path, typer.Argument(metavar="TICKS", help="The ticks-....json that the student's page saved.", show_default=False)
]


def done(sheet: options.SheetFile, ticks: _TicksFile, templates: options.Templates = None) -> None:
    """Take in what a student ticked off.

    The page of the sheet saves ticks and comments to a small file. They go into the sheet, and every file of its
    folder is written again; the next sheet, made with --previous, sets them beside what the mentor says then.

    Example: critsheet done critsheet-talk/sheet.json ticks-s1a2b3c4d5e6f.json
    """
    from critsheet import sheet as sheets
    from critsheet import ticks as check_off

    old = sheets.load(sheet)
    new = check_off.load(ticks, old)
    if new != old:
        write_again(sheet, old, new, templates)
    to_do = [note for note in new.notes if note.kind != "keep"]
    say(f"{sum(note.done is not None for note in to_do)} of {len(to_do)} notes are done in {sheet}.")
    waiting = [one for one in check_off.read(ticks).notes.values() if one.comment.strip() and not one.done]
    if waiting:
        say(f"A comment without a tick has no place in a sheet: {len(waiting)} stay in {ticks}.")
