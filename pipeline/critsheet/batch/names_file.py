"""Reads the names file: a table that says of each recording whose it is."""

import csv
import io
import unicodedata
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from critsheet.batch.finding import Recording
from critsheet.cli import options
from critsheet.errors import CritsheetError, InputError

COLUMNS = ("file", "student", "mentor", "shot", "submission", "shot file", "fps", "frames", "names")
MOST_BYTES = 10_000_000
_HINT = f"Its first line names the columns: {', '.join(COLUMNS)}. Only “file” must be there."


@dataclass(frozen=True)
class Named:
    """What a row of the names file says of the recording `file`; `line` is where."""

    file: str
    line: int
    student: str | None = None
    mentor: str | None = None
    title: str | None = None
    submission: int | None = None
    shot: Path | None = None
    fps: str | None = None
    first: int | None = None
    last: int | None = None
    names: tuple[str, ...] = ()


def read_names(path: Path, tree: Path) -> list[Named]:
    """The rows of a names file: CSV in UTF-8, parted by commas or semicolons.

    A shot file is looked for from the names file's folder, then from `tree`, that of the recordings. Raises InputError
    with the line of the first mistake.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise InputError(f"Cannot read {path}: {error.strerror or error}.", "Check the path.") from error
    if len(content) > MOST_BYTES:
        raise InputError(f"{path} is too large for a names file.", _HINT)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(f"{path} is not UTF-8 text.", "Save it from your table program as “CSV UTF-8”.") from None
    return _rows(path, text, tree)


def _rows(path: Path, text: str, tree: Path) -> list[Named]:
    head = text.split("\n", 1)[0]
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=";" if head.count(";") > head.count(",") else ",")
    try:
        titles = [title.strip().lower() for title in next(lines, [])]
        if "file" not in titles or len(set(titles)) != len(titles) or not set(titles) <= set(COLUMNS):
            raise InputError(f"{path}:1: the columns are not those of a names file.", _HINT)
        found: list[Named] = []
        for cells in lines:
            if any(cell.strip() for cell in cells):
                row = dict(zip(titles, (cell.strip() for cell in cells), strict=False))
                found.append(_row(path, lines.line_num, row, tree))
    except csv.Error as error:
        raise InputError(f"{path}:{lines.line_num}: {error}.", "Save the table as CSV again.") from error
    return found


def _row(path: Path, line: int, row: dict[str, str], tree: Path) -> Named:
    def cell(title: str) -> str | None:
        return row.get(title) or None

    try:
        if not (file := cell("file")):
            raise InputError("the row names no file.", "Write the recording's name into the column “file”.")
        shot = _shot_file(cell("shot file"), (path.parent, tree))
        first, last = options.frame_range(cell("frames"), first_will_do=shot is not None)
        return Named(
            file=file,
            line=line,
            student=options.text("student", cell("student")),
            mentor=options.text("mentor", cell("mentor")),
            title=options.text("shot", cell("shot")),
            submission=options.submission(cell("submission")),
            shot=shot,
            fps=options.rate(cell("fps")),
            first=first,
            last=last,
            names=options.names(cell("names")),
        )
    except CritsheetError as error:
        raise InputError(f"{path}:{line}: {error.what}", error.hint) from error


def _shot_file(name: str | None, folders: Sequence[Path]) -> Path | None:
    if name is None:
        return None
    for folder in folders:
        if (path := folder / name.replace("\\", "/")).is_file():
            return path
    looked = " and in ".join(dict.fromkeys(map(str, folders)))
    raise InputError(f"there is no shot file {name}.", f"It is looked for in {looked}.")


def matched(
    names: Sequence[Named], recordings: Sequence[Recording], origin: Path
) -> tuple[dict[str, Named], list[str]]:
    """What is said of each recording, by its `shown` path, and the files that no recording is.

    A row gives a path within the tree, or a bare name where only one recording has it. Raises InputError for a name
    that several have, and for a recording that is named twice.
    """
    called: dict[str, list[Recording]] = defaultdict(list)
    for one in recordings:
        called[_name(one.path.name)].append(one)
    for one in recordings:
        called[_name(one.shown)] = [one]  # a path from the top goes before a bare name
    found: dict[str, Named] = {}
    lost: list[str] = []
    for row in names:
        alike = called.get(_name(row.file), [])
        if len(alike) > 1:
            raise InputError(
                f"{origin}:{row.line}: there are {len(alike)} recordings called {row.file}.",
                f"Say which: {alike[0].shown}.",
            )
        if not alike:
            lost.append(row.file)
        elif alike[0].shown in found:
            raise InputError(f"{origin}:{row.line}: {row.file} stands in two rows.", "Leave one of them out.")
        else:
            found[alike[0].shown] = row
    return found, lost


def _name(path: str) -> str:
    """One spelling for each name: some systems store an accent apart from its letter."""
    return unicodedata.normalize("NFC", path).replace("\\", "/")
