"""Saves what can still be read of an archive: every sheet as a file that can be added to a new one."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from critsheet.archive.stored import Stored, look_into
from critsheet.errors import ArchiveError, OutputError, SheetError
from critsheet.render.folder import SHEET
from critsheet.sheet import Sheet, save

_CLASS_LETTERS = 60
"""Of a class in a folder's name: a file system allows 255 bytes, and a letter may take four."""


@dataclass(frozen=True)
class Saved:
    """The numbers of the sheets that were saved as they were last, in an earlier form, and not at all.

    `found`: in the latest form that was found; the list is lost that says whether there was a later one.
    """

    whole: tuple[int, ...]
    earlier: tuple[int, ...]
    found: tuple[int, ...]
    lost: tuple[int, ...]


def save_all(place: str | None, folder: Path, tell: Callable[[float], None]) -> Saved:
    """Write each sheet as it was last, else in its latest readable form, as FOLDER/CLASS/NUMBER/sheet.json.

    Raises OutputError where `folder` holds anything, or the disk refuses (what was written stays, each sheet whole),
    and the errors of `look_into`.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise OutputError(f"{folder} is not an empty folder.", "Give the name of a new one with --save.")
    return look_into(place, lambda stored: _save(stored, folder, tell))


def _save(stored: Stored, folder: Path, tell: Callable[[float], None]) -> Saved:
    became: dict[str, list[int]] = {"whole": [], "earlier": [], "found": [], "lost": []}
    numbers = stored.numbers
    for done, number in enumerate(numbers, start=1):
        became[_saved(stored, number, folder)].append(number)
        tell(done / len(numbers))
    return Saved(**{what: tuple(numbers) for what, numbers in became.items()})


def _saved(stored: Stored, number: int, folder: Path) -> str:
    """Write a sheet; what became of it."""
    entry = stored.entries.get(number)
    for form in stored.forms.get(number, ()):
        try:
            sheet = form.read()
        except (ArchiveError, SheetError):
            continue
        _write(sheet, folder / _folder_name(entry.class_ if entry else None) / str(number))
        return "found" if entry is None else "whole" if form.number == entry.version else "earlier"
    return "lost"


def _write(sheet: Sheet, folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(
            f"Cannot create {folder}: {error.strerror or error}.", "Give another folder with --save."
        ) from error
    save(sheet, folder / SHEET)


def _folder_name(class_: str | None) -> str:
    return "".join(c if c.isalnum() or c in " -" else "_" for c in class_ or "")[:_CLASS_LETTERS].strip()
