"""Writes the sheets of an archive into a folder, as they are now, if wanted with stand-ins for everybody."""

import hashlib
import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, select

from critsheet.archive import listing
from critsheet.archive.listing import Filed
from critsheet.archive.pseudonyms import Pseudonyms, read_pseudonyms
from critsheet.archive.tables import sheets
from critsheet.archive.wanted import Wanted
from critsheet.archive.written_files import remember_in
from critsheet.errors import OutputError
from critsheet.render.folder import SHEET, write_all
from critsheet.sheet import to_json

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive

_TITLE_LETTERS = 50
"""Of a folder's name: a file system allows 255 bytes, and a letter may take four."""


@dataclass(frozen=True)
class Exported:
    """How many sheets were written; `unsure`: words that may be somebody's name, with the sheets that they stand in."""

    count: int
    unsure: Mapping[str, Sequence[int]] = field(default_factory=dict)


def export(
    archive: "Archive", folder: Path, wanted: Wanted, *, pseudonymise: bool, tell: Callable[[float], None]
) -> Exported:
    """Write each sheet as FOLDER/NUMBER-TITLE/sheet.json (with stand-ins FOLDER/NUMBER/sheet.json), all or none.

    The archive must be open for writing: it remembers each file, so that it goes when the student is forgotten.

    Raises OutputError where `folder` exists or the disk refuses, InputError for somebody the archive lacks.
    """
    if folder.exists() or folder.is_symlink():
        raise OutputError(f"{folder} exists.", "Give the name of a new folder.")
    found = sorted(listing.list_sheets(archive, wanted), key=lambda each: each.number)
    stand_ins = archive.write(read_pseudonyms) if pseudonymise else None
    files = _Files(archive, folder.resolve(), found, stand_ins, tell)
    try:
        if found:
            write_all(folder, files)
    except OutputError as error:
        error.hint = "Give another folder, or free some space."
        raise
    return Exported(len(found), {word: sorted(files.unsure[word]) for word in sorted(files.unsure)})


class _Files(Mapping[str, bytes]):
    """The files by their paths in the folder; each sheet is read when its turn comes, as no computer holds them all."""

    def __init__(
        self,
        archive: "Archive",
        folder: Path,
        found: Sequence[Filed],
        stand_ins: Pseudonyms | None,
        tell: Callable[[float], None],
    ) -> None:
        self._archive = archive
        self._folder = folder
        self._stand_ins = stand_ins
        self._tell = tell
        titled = {each.number: "" if stand_ins else _in_a_path(each.title) for each in found}
        self._numbers = {f"{number}{title}/{SHEET}": number for number, title in titled.items()}
        self.unsure: dict[str, set[int]] = defaultdict(set)

    def __getitem__(self, name: str) -> bytes:
        return self._archive.write(lambda connection: self._content(connection, name))

    def __iter__(self) -> Iterator[str]:
        for done, name in enumerate(self._numbers, 1):
            yield name
            self._tell(done / len(self))

    def __len__(self) -> int:
        return len(self._numbers)

    def _content(self, connection: Connection, name: str) -> bytes:
        number = self._numbers[name]
        sheet = listing.document(connection, number)
        if self._stand_ins:
            stood_in = self._stand_ins.stand_in(sheet)
            sheet = stood_in.sheet
            for word in stood_in.unsure:
                self.unsure[word].add(number)
        content = to_json(sheet).encode()
        student = connection.execute(select(sheets.c.student).where(sheets.c.id == number)).scalar_one()
        if student is not None:
            remember_in(connection, student, self._folder / name, hashlib.sha256(content).hexdigest())
        return content


def _in_a_path(title: str) -> str:
    return "".join(f"-{word}" for word in re.findall(r"\w+", title))[:_TITLE_LETTERS]
