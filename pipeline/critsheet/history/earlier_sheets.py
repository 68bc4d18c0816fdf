"""The sheets of a shot's submissions, read from files and folders, put in order, and told from those of other shots."""

import re
from collections.abc import Sequence
from pathlib import Path

from critsheet.errors import InputError, SheetError
from critsheet.history.taking_up import names_of
from critsheet.sheet import Review, Sheet, Shot, load

SHEET = "sheet.json"
MOST_SHEETS = 200
"""No shot is handed in more often; a folder with more was given by mistake."""

_BEGINNING, _BEGINNING_BYTES = re.compile(rb'"schema"\s*:\s*"critsheet/'), 1000


def read_sheets(path: Path) -> list[Sheet]:
    """The sheets at a path, in order of submission: one file, or a folder that is or holds folders with a sheet.json.

    Other files in a folder are passed over. Raises InputError where there are none, SheetError for a damaged or newer
    one, by name.
    """
    if path.is_dir():
        return in_order([load(file) for file in _files(path)])
    return [load(path)]


def in_order(sheets: Sequence[Sheet]) -> list[Sheet]:
    """The sheets by submission where every one has a number, else by when they were made.

    Of two sheets of one recording the one made last counts.
    """
    each = list(
        {one.review.recording.sha256: one for one in sorted(sheets, key=lambda one: (one.made, one.id))}.values()
    )
    if all(sheet.review.submission for sheet in each):
        return sorted(each, key=lambda sheet: (sheet.review.submission or 0, sheet.made, sheet.id))
    return each


def read_previous(path: Path, review: Review, shot: Shot, names: Sequence[str]) -> list[Sheet]:
    """The sheets at a path that are of earlier submissions of the shot than the one at hand, in order.

    Raises InputError where there are none, or where one is of another shot, SheetError for a damaged or newer one.
    """
    sheets = _before(read_sheets(path), review)
    for sheet in sheets:
        _check_same_shot(sheet, shot, names, review.student)
    return sheets


def check_one_shot(sheets: Sequence[Sheet]) -> None:
    """Passes where all sheets may be of one shot. Raises InputError."""
    for one, other in zip(sheets, sheets[1:], strict=False):
        _check_same_shot(other, one.shot, names_of(one), one.review.student)


def _before(sheets: Sequence[Sheet], review: Review) -> list[Sheet]:
    """The sheets of submissions before this one, which may lie among them."""
    recording_sha256, submission = review.recording.sha256, review.submission
    others = [sheet for sheet in sheets if sheet.review.recording.sha256 != recording_sha256]
    if not others:
        raise InputError("--previous gives the sheet of this very recording.", "Give the one of the submission before.")
    earlier = [one for one in others if not submission or (one.review.submission or 0) < submission]
    if not earlier:
        raise InputError(
            f"--previous gives submission {others[0].review.submission}, which is not before {submission}.",
            "Check --submission, or give an earlier sheet.",
        )
    return earlier


def _check_same_shot(sheet: Sheet, shot: Shot | None, names: Sequence[str], student: str | None) -> None:
    """What either side leaves open is taken to be the same."""
    if differs := _difference(sheet, shot, names, student):
        raise InputError(
            f"The sheet “{sheet.review.title}” is of another shot: {differs}.",
            "Give sheets of one shot, made with the same --frames and --names.",
        )


def _difference(sheet: Sheet, shot: Shot | None, names: Sequence[str], student: str | None) -> str | None:
    theirs, ours = _folded(names_of(sheet)), _folded(names)
    if theirs and ours and not theirs & ours:
        return f"it speaks of {', '.join(names_of(sheet)[:3])}, not of {', '.join(names[:3])}"
    if sheet.review.student and student and sheet.review.student.casefold() != student.casefold():
        return f"it is for {sheet.review.student}, not for {student}"
    if sheet.shot and shot and not _may_meet(sheet.shot, shot):
        return f"it counts frames {sheet.shot.first}–{sheet.shot.last}, not {shot.first}–{shot.last}"
    return None


def _may_meet(one: Shot, other: Shot) -> bool:
    """Whether two frame ranges have a frame in common, or one of them is not known: a shot grows and is trimmed."""
    if one.first is None or one.last is None or other.first is None or other.last is None:
        return True
    return one.first <= other.last and other.first <= one.last


def _folded(names: Sequence[str]) -> set[str]:
    return {name.casefold().removeprefix("the ") for name in names}


def _files(folder: Path) -> list[Path]:
    try:
        inside = sorted(folder.iterdir())
        found = [path for path in inside if path.suffix == ".json" and path.is_file() and _is_sheet(path)]
        found += [path / SHEET for path in inside if path.is_dir() and (path / SHEET).is_file()]
    except OSError as error:
        raise InputError(f"Cannot read {folder}: {error.strerror or error}.", "Check the path.") from error
    if not found:
        raise InputError(f"There is no sheet in {folder}.", "Give a folder with the folders that critsheet make wrote.")
    if len(found) > MOST_SHEETS:
        raise SheetError(f"{folder} holds {len(found)} sheets.", f"Give a folder of one shot, at most {MOST_SHEETS}.")
    return found


def _is_sheet(path: Path) -> bool:
    """Whether a file begins as a sheet does; ticks and captions are JSON as well."""
    with path.open("rb") as file:
        return path.name == SHEET or _BEGINNING.search(file.read(_BEGINNING_BYTES)) is not None
