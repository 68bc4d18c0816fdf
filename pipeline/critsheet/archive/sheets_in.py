"""Finds the sheets that a person names for the archive: files, and folders with sheets anywhere below them."""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from critsheet.errors import InputError
from critsheet.render.folder import SHEET


def sheets_in(paths: Sequence[Path]) -> list[Path]:
    """The sheet files, each once, in order of path within each of `paths`.

    A folder gives every sheet.json below it; hidden folders and links to folders are passed over. Raises InputError
    for a path that does not exist, and for a folder without any sheet.
    """
    found: dict[Path, None] = {}
    for path in paths:
        here = sorted(_below(path)) if path.is_dir() else [path]
        if not path.exists():
            raise InputError(f"Cannot read {path}: there is no such file or folder.", "Check the path.")
        if not here:
            raise InputError(
                f"There is no sheet in {path}.", "Give a folder with the folders that critsheet make wrote."
            )
        found |= dict.fromkeys(here)
    return list(found)


def _below(folder: Path) -> Iterator[Path]:
    for inside, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        if SHEET in names:
            yield Path(inside) / SHEET
