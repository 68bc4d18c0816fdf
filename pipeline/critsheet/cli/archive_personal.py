"""`critsheet archive forget`, `about`, `export`: what is held about people, and how they get it, or get rid of it."""

import calendar
import re
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import confirm, progress, say
from critsheet.cli.search import narrowed
from critsheet.errors import ArchiveError, InputError

if TYPE_CHECKING:
    from critsheet.archive.forgetting import Forgotten

_AGE = re.compile(r"(\d{1,4})\s+(day|month|year)s?", re.IGNORECASE)
_Student = Annotated[
    str | None, typer.Option("--student", metavar="NAME", help="This student, wholly.", show_default=False)
]
_OlderThan = Annotated[
    str | None,
    typer.Option(
        "--older-than",
        metavar="WHEN",
        help='Sheets made before a day (2024-01-31) or an age ("3 years", "18 months", "90 days").',
        show_default=False,
    ),
]
_Yes = Annotated[bool, typer.Option("--yes", help="Do not ask.")]
_Name = Annotated[str, typer.Argument(metavar="NAME", help="A student, a mentor, or somebody who may be named.")]
_Folder = Annotated[Path, typer.Argument(metavar="FOLDER", help="A new folder for the sheets.", show_default=False)]
_Json = Annotated[bool, typer.Option("--json", help="Print it as JSON.")]
_Pseudonymise = Annotated[
    bool, typer.Option("--pseudonymise", help="Put stand-ins for all people, file names and hashes.")
]


def forget(
    student: _Student = None,
    older_than: _OlderThan = None,
    yes: _Yes = False,
    archive: options.ArchivePlace = None,
) -> None:
    """Forget a student, or what is old.

    Takes out all their sheets in every form, notes and texts, and the files that
    were written from the archive about them; then cleans the database, searches
    it for what is left, and says where the name is still said in sheets of
    others. Folders outside the archive stay; they are listed. Interrupted, it can
    simply be run again.

    Example: critsheet archive forget --student "Tamsin Okoro"
    """
    from critsheet.archive import forgetting
    from critsheet.archive.opening import open_archive
    from critsheet.render.held import in_short

    name, before = options.text("--student", student), _day(older_than, datetime.now(UTC).date())
    if not name and not before:
        raise InputError("Nobody is named.", "Say whom or what: --student NAME, --older-than WHEN, or both.")
    with open_archive(archive, writing=True) as opened:
        doomed = forgetting.doomed(opened, name, before)
        whose = f" of {name}" if name else ""
        when = f" made before {before}" if before else ""
        if doomed.sheets or doomed.written:
            confirm(f"Forget what is held{whose}{when}: {in_short(doomed)}? This cannot be undone.", yes)
        else:
            say(f"There is no sheet{whose}{when} in the archive. To see what is there: critsheet archive list")
        with progress(quiet=False) as tell:
            forgotten = forgetting.forget(opened, name, before, tell)
    _report(forgotten)


def _report(forgotten: "Forgotten") -> None:
    from rich.console import Console

    from critsheet.render.held import print_forgotten

    print_forgotten(forgotten, Console())
    if forgotten.remains:
        raise ArchiveError("The database still holds some of what was deleted.", "Run the same command again.")
    if not forgotten.everything:
        raise ArchiveError(
            "Not everything is gone, or could be looked through.", "What is left, and where, stands above."
        )


def about(name: _Name, archive: options.ArchivePlace = None, as_json: _Json = False) -> None:
    """Show what is held about somebody.

    Their sheets as a student and as a mentor, where others name them, and what
    was written from the archive about them. Looks through every form of every
    sheet.

    Example: critsheet archive about "Tamsin Okoro"
    """
    from rich.console import Console

    from critsheet.archive.about import about as look_up
    from critsheet.archive.opening import open_archive
    from critsheet.render.held import about_json, print_about

    wanted = options.text("NAME", name)
    if not wanted:
        raise InputError("Nobody is named.", 'Give a name: critsheet archive about "Tamsin Okoro"')
    with open_archive(archive) as opened, progress(quiet=False) as tell:
        found = look_up(opened, wanted, lambda share: tell("Looking through the sheets", share))
    if as_json:
        sys.stdout.buffer.write(about_json(found).encode())
        sys.stdout.flush()
    else:
        print_about(found, Console())


def export(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    folder: _Folder,
    pseudonymise: _Pseudonymise = False,
    student: options.OfStudent = None,
    mentor: options.OfMentor = None,
    class_: options.OfClass = None,
    since: options.Since = None,
    before: options.Before = None,
    archive: options.ArchivePlace = None,
) -> None:
    """Write sheets from the archive into a folder, as they are now.

    Each becomes FOLDER/NUMBER-TITLE/sheet.json, which critsheet export, history
    and archive add read. With --pseudonymise people are called Student 12 and
    Mentor 3 in every text; whoever has the archive can still tell who that is.

    Example: critsheet archive export for-research --pseudonymise --class "Walks, spring"
    """
    from critsheet.archive.exporting import export as write
    from critsheet.archive.opening import open_archive

    wanted = narrowed(student, mentor, class_, since, before)
    with open_archive(archive, writing=True) as opened, progress(quiet=False) as tell:
        done = write(
            opened, folder, wanted, pseudonymise=pseudonymise, tell=lambda share: tell("Writing the sheets", share)
        )
    if not done.count:
        say("There is no such sheet in the archive, so nothing was written.")
        return
    say(f"{done.count:,} {'sheet' if done.count == 1 else 'sheets'} in {folder}")
    for word, numbers in done.unsure.items():
        say(f"“{word}” may be a name or a word, and was left as it is: see No. {', '.join(map(str, numbers))}.")


def _day(text: str | None, today: date) -> str | None:
    """The day before which sheets are old. Raises InputError."""
    if text is None:
        return None
    age = _AGE.fullmatch(text.strip())
    day = _ago(int(age[1]), age[2].lower(), today) if age else _date(text)
    if day > today:
        raise InputError(f"--older-than {text}: that day is still to come.", "Give one that has been.")
    return day.isoformat()


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(
            f"--older-than {text[: options.MAX_TEXT]!r} is neither a date nor an age.",
            'Give 2024-01-31, or "3 years", "18 months", "90 days".',
        ) from None


def _ago(number: int, unit: str, today: date) -> date:
    try:
        if unit == "day":
            return today - timedelta(days=number)
        months = today.year * 12 + today.month - 1 - number * (12 if unit == "year" else 1)
        year, month = divmod(months, 12)
        return date(year, month + 1, min(today.day, calendar.monthrange(year, month + 1)[1]))
    except (ValueError, OverflowError):
        raise InputError(f"--older-than {number} {unit}s is before all dates.", "Give a younger age.") from None
