"""`critsheet export`: one sheet in one more format."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import say
from critsheet.cli.job import default_folder
from critsheet.errors import InputError, OutputError

if TYPE_CHECKING:
    from critsheet.sheet import Sheet

_UNFIT = re.compile(r'[<>:"/\\|?*]')
"""Characters that a file name may not have on one system or another."""


@dataclass(frozen=True)
class _Job:
    """A sheet, the folder it lies in, and a school's templates."""

    sheet: "Sheet"
    folder: Path
    templates: Path | None


@dataclass(frozen=True)
class Format:
    """What a format is for, how its file names end, and what writes it."""

    about: str
    ending: str
    write: Callable[[_Job], str | bytes]


def _markdown(job: _Job) -> str:
    from critsheet.render.markdown import to_markdown

    return to_markdown(job.sheet)


def _csv(job: _Job) -> str:
    from critsheet.render.comma_table import to_csv

    return to_csv(job.sheet)


def _xlsx(job: _Job) -> bytes:
    from critsheet.render.workbook import to_xlsx

    return to_xlsx(job.sheet)


def _pdf(job: _Job) -> bytes:
    from critsheet import vocabulary
    from critsheet.render.folder import stills_in
    from critsheet.render.page import to_html
    from critsheet.render.pdf import to_pdf
    from critsheet.render.templates import read_templates

    sheet, style = job.sheet, read_templates(job.templates, job.sheet.language).paper_style()
    stills = stills_in(job.folder, sheet)
    return to_pdf(to_html(sheet, vocabulary.load(()).categories, None, stills, job.templates), style)


def _todos(job: _Job) -> bytes:
    from critsheet.render.todos import to_icalendar

    return to_icalendar(job.sheet)


def _mail(job: _Job) -> str:
    from critsheet.render.mail import to_mail

    return to_mail(job.sheet)


def _chapters(job: _Job) -> str:
    from critsheet.render.chapters import to_chapters

    return to_chapters(job.sheet)


def _shot_chapters(job: _Job) -> str:
    from critsheet.render.chapters import to_shot_chapters

    _markers(job)  # without frames there are neither
    return to_shot_chapters(job.sheet)


def _markers(job: _Job) -> str:
    from critsheet.render.markers import to_markers

    if text := to_markers(job.sheet):
        return text
    raise InputError("No note of this sheet is tied to frames.", "Make it with --frames, or with --shot.")


FORMATS = {
    "pdf": Format("the page on paper", ".pdf", _pdf),
    "markdown": Format("a task list", ".md", _markdown),
    "mail": Format("plain text to paste into a mail", ".txt", _mail),
    "xlsx": Format("a workbook, a row a note", ".xlsx", _xlsx),
    "csv": Format("a table, a row a note", ".csv", _csv),
    "todos": Format("to-dos for a calendar (iCalendar)", ".ics", _todos),
    "chapters": Format("chapters of the recording (WebVTT)", "-chapters.vtt", _chapters),
    "shot-chapters": Format("chapters of the shot (WebVTT)", "-shot-chapters.vtt", _shot_chapters),
    "markers": Format("markers for editing programs (OpenTimelineIO)", "-markers.otio", _markers),
}

_To = Annotated[
    str | None,
    typer.Option(
        metavar="FORMAT",
        help="\n\n".join(f"{name}: {form.about}" for name, form in FORMATS.items()),
        show_default=False,
    ),
]
_Out = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="File to write; critsheet-NAME here, after the recording, if left out."),
]


def export(sheet: options.SheetFile, to: _To = None, out: _Out = None, templates: options.Templates = None) -> None:
    """Write a sheet in another format.

    Example: critsheet export critsheet-talk/sheet.json --to pdf
    """
    form = _format(to)
    from critsheet.sheet import load, write_whole

    loaded = load(sheet)
    path = out or _default_file(loaded, form)
    _check(path)
    content = form.write(_Job(loaded, sheet.parent, templates))
    _check(path)  # a PDF takes a while
    write_whole(path, content)
    say(f"Written: {path}")


def _format(name: str | None) -> Format:
    form = FORMATS.get((name or "").lower())
    if form is None:
        *most, last = FORMATS
        problem = "--to is missing." if name is None else f"--to {name!r} is not a format."
        raise InputError(problem, f"Choose {', '.join(most)} or {last}.")
    return form


def _default_file(sheet: "Sheet", form: Format) -> Path:
    from critsheet.render.words import plain

    # The name comes from the sheet: it may name no other folder, nor be one that the disk refuses.
    recording = _UNFIT.sub("-", plain(Path(sheet.review.recording.file).name))
    return Path(f"{default_folder(Path(recording))}{form.ending}")


def _check(path: Path) -> None:
    """Refuses to write over anything, or where there is no folder."""
    if path.is_dir():
        raise OutputError(f"{path} is a folder.", "Give --out the name of a file in it.")
    if path.exists() or path.is_symlink():
        raise OutputError(f"{path} exists.", "Move it away, or give another file with --out.")
    if not path.parent.is_dir():
        raise OutputError(f"There is no folder {path.parent}.", "Create it, or give another file with --out.")
