"""Reads the names file: a table that says of each recording whose it is."""

import csv
import io
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


def read_names(path: Path) -> list[Named]:
    """The rows of a names file: CSV in UTF-8, parted by commas or semicolons.

    A shot file is looked for from the names file's folder. Raises InputError with the line of the first mistake.
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
    return _rows(path, text)


def _rows(path: Path, text: str) -> list[Named]:
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
                found.append(_row(path, lines.line_num, row))
    except csv.Error as error:
        raise InputError(f"{path}:{lines.line_num}: {error}.", "Save the table as CSV again.") from error
    return found


def _row(path: Path, line: int, row: dict[str, str]) -> Named:
    def cell(title: str) -> str | None:
        return row.get(title) or None

    try:
        if not (file := cell("file")):
            raise InputError("the row names no file.", "Write the recording's name into the column “file”.")
        shot = cell("shot file")
        if shot and not (path.parent / shot).is_file():
            raise InputError(f"there is no shot file {shot}.", f"It is looked for in {path.parent}.")
        first, last = options.frame_range(cell("frames"), first_will_do=shot is not None)
        return Named(
            file=file.replace("\\", "/"),
            line=line,
            student=options.text("student", cell("student")),
            mentor=options.text("mentor", cell("mentor")),
            title=options.text("shot", cell("shot")),
            submission=options.submission(cell("submission")),
            shot=path.parent / shot if shot else None,
            fps=options.rate(cell("fps")),
            first=first,
            last=last,
            names=options.names(cell("names")),
        )
    except CritsheetError as error:
        raise InputError(f"{path}:{line}: {error.what}", error.hint) from error


def matched(
    names: Sequence[Named], recordings: Sequence[Recording], origin: Path
) -> tuple[dict[str, Named], list[str]]:
    """What is said of each recording, by its `shown` path, and the files that no recording is.

    A row gives a path within the tree, or a bare name where only one recording has it. Raises InputError for a name
    that several have, and for a recording that is named twice.
    """
    found: dict[str, Named] = {}
    lost: list[str] = []
    for row in names:
        exact = [one for one in recordings if one.shown.replace("\\", "/") == row.file]
        alike = exact or [one for one in recordings if one.path.name == row.file]
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
