"""The main job, shared by `make` and `demo`: a request goes in, a written folder comes out."""

from pathlib import Path
from typing import TYPE_CHECKING

from critsheet.cli.console import progress

if TYPE_CHECKING:
    from critsheet.make import Request
    from critsheet.sheet import Sheet

_NAME_CHARACTERS = 50
"""Of a recording's name in the folder's: a file system allows 255 bytes, and a letter may take four."""


def default_folder(source: Path) -> Path:
    """`critsheet-NAME` in the current directory, after the recording's name."""
    return Path(f"critsheet-{source.stem[:_NAME_CHARACTERS].strip()}")


def write_sheet(request: "Request", folder: Path, quiet: bool) -> "Sheet":
    """Make the sheet and write its folder. Nothing is written where anything goes wrong.

    Raises the errors of `make_sheet`, and OutputError before any listening where `folder` may not be written.
    """
    from critsheet import media, vocabulary
    from critsheet.make import make_sheet
    from critsheet.render import folder as output
    from critsheet.render.recording import link

    output.check(folder, lambda: media.sha256(request.source))
    pack = vocabulary.load(request.vocab)
    with progress(quiet) as tell:
        made = make_sheet(request, tell, pack)
    recording = link(request.recording, folder) if request.recording else None
    output.write(folder, made.sheet, output.contents(made.sheet, pack.categories, recording, made.stills))
    return made.sheet
