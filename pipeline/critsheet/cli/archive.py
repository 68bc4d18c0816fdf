"""`critsheet archive`: keep a school's sheets together, look into them, take them out."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import archive_check, archive_personal, options
from critsheet.cli.console import complain, confirm, progress, say
from critsheet.cli.search import narrowed
from critsheet.errors import InputError

if TYPE_CHECKING:
    from critsheet.archive.adding import Added
    from critsheet.archive.listing import Filed, Version

SOME_FAILED = 5
"""The exit status of a SheetError, also where several sheets could not be filed."""

app = typer.Typer(
    help="A school's sheets in one place: add them, then search them (critsheet search) and see what a class is told "
    "(critsheet cohort).",
    no_args_is_help=True,
)
_Paths = Annotated[
    list[Path],
    typer.Argument(metavar="SHEET|FOLDER...", help="Sheets, or folders with sheets anywhere in them."),
]
_Class = Annotated[str | None, typer.Option("--class", metavar="NAME", help="The class that the sheets belong to.")]
_Number = Annotated[int, typer.Argument(metavar="NUMBER", help="The sheet's number: critsheet archive list", min=1)]
_Numbers = Annotated[list[int], typer.Argument(metavar="NUMBER...", help="Their numbers: critsheet archive list")]
_Yes = Annotated[bool, typer.Option("--yes", help="Do not ask.")]
_All = Annotated[bool, typer.Option("--all", help="List every form that it had, instead.")]
_Form = Annotated[
    int | None, typer.Option("--form", metavar="N", min=1, help="An earlier form: the first is 1.", show_default=False)
]
_Json = Annotated[bool, typer.Option("--json", help="Print the sheet as JSON.")]


@app.command()
def add(paths: _Paths, class_: _Class = None, archive: options.ArchivePlace = None) -> None:
    """File sheets in the archive.

    A sheet that is there already changes nothing. One that was corrected or
    ticked since takes the place of its earlier form, which is kept. Recordings
    and pictures stay where they are.

    Example: critsheet archive add reviews --class "Walks, spring"
    """
    from critsheet import vocabulary
    from critsheet.archive.adding import add as add_all
    from critsheet.archive.opening import open_archive
    from critsheet.archive.sheets_in import sheets_in

    found, name = sheets_in(paths), options.text("--class", class_)
    with open_archive(archive, create=True, writing=True) as opened, progress(quiet=False) as tell:
        added = add_all(opened, found, vocabulary.load(()), name, lambda share: tell("Filing the sheets", share))
        place = opened.place.shown
    for path, error in added.failed:
        complain(f"{path}: {error}")
    say(f"{_told(added)} The archive is {place}")
    if added.failed:
        raise typer.Exit(SOME_FAILED)


def _told(added: "Added") -> str:
    words = {
        "added": "added",
        "replaced": "took the place of an earlier form",
        "older": "older than the form that is there, kept behind it",
        "already there": "already there",
    }
    parts = [f"{count} {words[outcome]}" for outcome, count in sorted(added.outcomes.items())]
    parts += [f"{len(added.failed)} could not be filed"] if added.failed else []
    return f"Sheets: {'; '.join(parts) or 'none'}."


@app.command("list")
def list_(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    student: options.OfStudent = None,
    mentor: options.OfMentor = None,
    class_: options.OfClass = None,
    since: options.Since = None,
    before: options.Before = None,
    archive: options.ArchivePlace = None,
) -> None:
    """List the sheets in the archive, those made last first."""
    from rich.console import Console

    from critsheet.archive.listing import list_sheets
    from critsheet.archive.opening import open_archive

    with open_archive(archive) as opened:
        found = list_sheets(opened, narrowed(student, mentor, class_, since, before))
    if found:
        Console().print(_table(found))
    typer.echo("1 sheet." if len(found) == 1 else f"{len(found):,} sheets.")


@app.command()
def show(
    number: _Number,
    form: _Form = None,
    every: _All = False,
    archive: options.ArchivePlace = None,
    as_json: _Json = False,
) -> None:
    """Show a sheet of the archive, as it is now or in an earlier form."""
    from rich.console import Console

    from critsheet.archive.listing import history, read_sheet
    from critsheet.archive.opening import open_archive
    from critsheet.render.terminal import print_checklist
    from critsheet.sheet import to_json

    if every and form:
        raise InputError("--all and --form ask for different things.", "Give one of them.")
    with open_archive(archive) as opened:
        if every:
            Console().print(_forms(history(opened, number)))
            return
        sheet = read_sheet(opened, number, form)
    if as_json:
        sys.stdout.buffer.write(to_json(sheet).encode())
        sys.stdout.flush()
    else:
        print_checklist(sheet, Console())


@app.command()
def remove(numbers: _Numbers, yes: _Yes = False, archive: options.ArchivePlace = None) -> None:
    """Take sheets out of the archive, with every form that they had.

    The folders that critsheet make wrote stay. To take out all that is held about
    a student: critsheet archive forget.
    """
    from critsheet.archive.listing import read_sheet
    from critsheet.archive.listing import remove as remove_all
    from critsheet.archive.opening import open_archive
    from critsheet.render.words import plain

    wanted = list(dict.fromkeys(numbers))
    with open_archive(archive, writing=True) as opened:
        titles = [plain(read_sheet(opened, number).review.title) for number in wanted]
        confirm(f"Take out {', '.join(f'“{title}”' for title in titles)}?", yes)
        remove_all(opened, wanted)
    say(f"{len(wanted)} taken out.")


def _table(found: "list[Filed]") -> object:
    from rich import box
    from rich.table import Table
    from rich.text import Text

    from critsheet.render.words import plain

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("No.", "Shot", "Student", "Mentor", "Class", "Made", "Open"):
        table.add_column(title, justify="right" if title in ("No.", "Open") else "left", no_wrap=title == "Made")
    for each in found:
        shot = f"{each.title}, {each.submission}" if each.submission else each.title
        named = (shot, each.student or "", each.mentor or "", each.class_ or "")
        cells = (Text(plain(text), overflow="fold") for text in named)
        table.add_row(str(each.number), *cells, each.made[:10], f"{each.open_notes} of {each.notes}")
    return table


def _forms(found: "list[Version]") -> object:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    for title in ("Form", "Made or corrected", "Filed", ""):
        table.add_column(title)
    for each in found:
        when = (text.replace("T", " ").removesuffix("Z") for text in (each.changed, each.filed))
        table.add_row(str(each.number), *when, "as it is now" if each.current else "")
    return table


app.command("about")(archive_personal.about)
app.command("forget")(archive_personal.forget)
app.command("export")(archive_personal.export)
app.command("check")(archive_check.check)
