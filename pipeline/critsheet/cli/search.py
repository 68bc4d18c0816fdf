"""`critsheet search`: find notes in the archive."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.errors import InputError
from critsheet.labels import CHOICES

if TYPE_CHECKING:
    from critsheet.archive.wanted import Wanted

MOST_SHOWN = 1000
STATUSES = ("open", "done", "solved", "again", "praise")
_Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[WORDS]...",
        help='What a mentor might say. "A phrase in quotation marks" is found as it is; -WORD leaves out what has it.',
        show_default=False,
    ),
]
_Category = Annotated[str | None, typer.Option(metavar="NAME", help="Only this category: contact, timing, eyes ...")]
_Body = Annotated[str | None, typer.Option(metavar="PART", help="Only notes about this body part: foot, hips ...")]
_Status = Annotated[
    str | None,
    typer.Option(
        metavar="WORD",
        help="open: to be done; done: ticked by the student; solved: so the mentor says later; again: asked for again "
        "later; praise.",
    ),
]
_Limit = Annotated[int, typer.Option("--limit", metavar="N", min=1, max=MOST_SHOWN, help="So many notes at most.")]
_Json = Annotated[bool, typer.Option("--json", help="Print the notes as JSON.")]


def search(  # noqa: PLR0913, PLR0917 - the command line is its parameters
    words: _Words = None,
    category: _Category = None,
    body: _Body = None,
    status: _Status = None,
    student: options.OfStudent = None,
    mentor: options.OfMentor = None,
    class_: options.OfClass = None,
    since: options.Since = None,
    before: options.Before = None,
    limit: _Limit = 10,
    archive: options.ArchivePlace = None,
    as_json: _Json = False,
) -> None:
    """Find notes in the archive, the best first.

    Finds every form of a word (slides, sliding, slid) and the trade's other ways
    of saying it: skating finds "the foot slides". Each note comes with the
    mentor's words, its frames, and the second it was said.

    Example: critsheet search foot slides --category contact --status open
    """
    wanted = narrowed(student, mentor, class_, since, before, category, body, status)
    if not words and not any(vars(wanted).values()):
        raise InputError("There is nothing to look for.", "Type what a mentor might say: critsheet search foot slides")
    from critsheet import vocabulary
    from critsheet.archive.opening import open_archive
    from critsheet.archive.searching import search as find
    from critsheet.render.hits import print_found, to_json

    with open_archive(archive) as opened:
        found = find(opened, " ".join(words or ()), wanted, vocabulary.load(()), limit)
    if as_json:
        sys.stdout.buffer.write(to_json(found).encode())
        sys.stdout.flush()
        return
    from rich.console import Console

    print_found(found, Console())


def narrowed(  # noqa: PLR0913, PLR0917 - as typed
    student: str | None,
    mentor: str | None,
    class_: str | None,
    since: str | None,
    before: str | None,
    category: str | None = None,
    body: str | None = None,
    status: str | None = None,
) -> "Wanted":
    """What was typed to narrow the archive down. Raises InputError."""
    from critsheet.archive.wanted import Wanted

    return Wanted(
        student=options.text("--student", student),
        mentor=options.text("--mentor", mentor),
        class_=options.text("--class", class_),
        since=options.day("--since", since),
        before=options.day("--before", before),
        category=options.choice("--category", category, CHOICES["category"]),  # type: ignore[arg-type]
        body=options.choice("--body", body, CHOICES["body"]),  # type: ignore[arg-type]
        status=options.choice("--status", status, STATUSES),  # type: ignore[arg-type]
    )
