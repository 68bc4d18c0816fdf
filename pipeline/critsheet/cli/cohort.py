"""`critsheet cohort`: what a class is told, from the archive; and one student's own page."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import progress, say
from critsheet.cli.search import narrowed
from critsheet.errors import ArchiveError, OutputError

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive
    from critsheet.archive.wanted import Wanted
    from critsheet.render.templates import Templates
    from critsheet.vocabulary import Vocabulary

MOST_OPEN = 2000
"""Open notes on one student's page."""
_Out = Annotated[
    Path, typer.Option(metavar="DIR", help="A new folder for the pages and tables.", rich_help_panel="The result")
]
_Student = Annotated[
    str | None,
    typer.Option(
        metavar="NAME", help="This student's own page instead: what is open, and what comes again. For them alone."
    ),
]
_SheetLanguage = Annotated[
    str,
    typer.Option(metavar="CODE", help="Language of the pages' own texts: en, de.", rich_help_panel="The result"),
]


def cohort(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    out: _Out = Path("cohort"),
    student: _Student = None,
    class_: options.OfClass = None,
    mentor: options.OfMentor = None,
    since: options.Since = None,
    before: options.Before = None,
    archive: options.ArchivePlace = None,
    templates: options.Templates = None,
    sheet_language: _SheetLanguage = "en",
) -> None:
    """Show what a class is told.

    Writes a folder with a page (cohort.html): what is told most and when, what
    comes again after it was fixed, how long notes stay open, what each mentor
    speaks of; the same as tables (.csv); and a glossary (glossary.html) in the
    mentors' words. It names and ranks no student, and shows nothing that rests on
    fewer than 5.

    Example: critsheet cohort --class "Walks, spring" --since 2026-01-31 --out spring
    """
    if out.exists() or out.is_symlink():
        raise OutputError(f"{out} exists.", "Move it away, or give another folder with --out.")
    from critsheet import vocabulary
    from critsheet.archive.opening import open_archive
    from critsheet.render.folder import write_all
    from critsheet.render.templates import read_templates

    pack, look = vocabulary.load(()), read_templates(templates, sheet_language)
    wanted = narrowed(student, mentor, class_, since, before)
    with open_archive(archive) as opened, progress(quiet=False) as tell:
        tell("Counting", 0.0)
        files = _one_student(opened, wanted, pack, look) if student else _whole(opened, wanted, pack, look)
    write_all(out, {name: text.encode() for name, text in files.items()})
    if student:
        _note(archive, student, out / next(iter(files)))
    say(f"The page is {out / next(iter(files))}")


def _whole(archive: "Archive", wanted: "Wanted", pack: "Vocabulary", look: "Templates") -> dict[str, str]:
    from critsheet.archive.told import names_of_people, sayings, told
    from critsheet.cohort.glossary import PER_CATEGORY, glossary
    from critsheet.cohort.tables import cohort as count
    from critsheet.render.cohort import PAGE, csv_files, to_cohort_page
    from critsheet.render.glossary import PAGE as GLOSSARY
    from critsheet.render.glossary import to_glossary_page

    notes = told(archive, wanted)
    found = count(notes)
    title = str(notes["class_"].iloc[0]) if wanted.class_ else look.texts("cohort.everyone")
    explained = glossary(sayings(archive, wanted, PER_CATEGORY), names_of_people(archive), pack)
    return {
        PAGE: to_cohort_page(found, title, pack.categories, look),
        GLOSSARY: to_glossary_page(explained, pack.categories, look),
        **csv_files(found),
    }


def _one_student(archive: "Archive", wanted: "Wanted", pack: "Vocabulary", look: "Templates") -> dict[str, str]:
    from dataclasses import replace

    from critsheet.archive.searching import search
    from critsheet.archive.told import told
    from critsheet.cohort.recurring import recurring
    from critsheet.render.student import PAGE, to_student_page

    notes = told(archive, wanted)
    found = search(archive, "", replace(wanted, status="open"), pack, MOST_OPEN)
    name = str(notes["student"].iloc[0]) if len(notes) else str(wanted.student)
    return {PAGE: to_student_page(name, found.hits, recurring(notes), pack.categories, look)}


def _note(place: str | None, student: str, path: Path) -> None:
    """Have the archive remember a file about a student, so that it goes when the student is forgotten."""
    from critsheet.archive.opening import open_archive
    from critsheet.archive.written_files import remember

    try:
        with open_archive(place, writing=True) as opened:
            remember(opened, student, path)
    except ArchiveError as error:
        say(f"{error.what} So critsheet archive forget will not delete {path}: do that by hand when the time comes.")
