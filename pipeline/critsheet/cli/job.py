"""What several commands share: a request becomes a written folder, a changed sheet is written again."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from critsheet.cli.console import progress

if TYPE_CHECKING:
    from critsheet.make import Request
    from critsheet.sheet import Sheet
    from critsheet.vocabulary import Vocabulary

_NAME_CHARACTERS = 50
"""Of a recording's name in the folder's: a file system allows 255 bytes, and a letter may take four."""


def default_folder(source: Path) -> Path:
    """`critsheet-NAME` in the current directory, after the recording's name."""
    return Path(f"critsheet-{default_name(source)}")


def default_name(source: Path) -> str:
    """A recording's name as part of a folder's."""
    return source.stem[:_NAME_CHARACTERS].strip()


def write_sheet(request: "Request", folder: Path, quiet: bool, templates: Path | None = None) -> "Sheet":
    """Make the sheet and write its folder, with a bar for how far it is. See `write_told`."""
    with progress(quiet) as tell:
        return write_told(request, folder, tell, templates)


def write_told(
    request: "Request",
    folder: Path,
    tell: Callable[[str, float], None],
    templates: Path | None = None,
    pack: "Vocabulary | None" = None,
) -> "Sheet":
    """Make the sheet and write its folder, with a school's templates. Nothing is written where anything goes wrong.

    `tell` hears the stage and its share; `pack` is the request's vocabulary, where it is loaded already. Raises the
    errors of `make_sheet`, and OutputError before any listening where `folder` may not be written.
    """
    from critsheet import media, vocabulary
    from critsheet.make import make_sheet
    from critsheet.render import folder as output
    from critsheet.render.recording import link, linked
    from critsheet.render.templates import read_templates

    read_templates(templates, request.sheet_language)  # a mistake in them shows before any listening
    old = output.check(folder, lambda: media.sha256(request.source))
    pack = pack or vocabulary.load(request.vocab)
    made = make_sheet(request, tell, pack, old)
    recording = link(request.recording, folder) if request.recording else None
    sheet = linked(made.sheet, recording) if recording else made.sheet
    output.write(folder, sheet, output.contents(sheet, pack.categories, recording, made.stills, templates), old)
    return sheet


def write_again(
    path: Path, old: "Sheet", new: "Sheet", templates: Path | None = None, vocab: tuple[Path, ...] = ()
) -> None:
    """Write a changed sheet where it was read from, and all other files of its folder, with a school's templates.

    A sheet.json that lies alone stays alone. Raises OutputError where a file of the folder was changed by hand.
    """
    from critsheet import vocabulary
    from critsheet.render import folder as output
    from critsheet.render.recording import kept_link
    from critsheet.sheet import save

    if not output.holds(path):
        save(new, path)
        return
    folder, recording = path.parent, kept_link(new.review.recording)
    categories = vocabulary.load(vocab).categories
    files = output.contents(new, categories, recording, output.stills_in(folder, new), templates)
    output.update(folder, old, new, files)
