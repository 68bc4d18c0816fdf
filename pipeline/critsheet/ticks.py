"""The student's check-off file, `critsheet-ticks/1`, which the page saves: what is done, and what they say about it.

{"schema": "critsheet-ticks/1", "sheet": "s1f...", "saved": "2026-02-03T18:20:00Z",
 "notes": {"n1": {"done": true, "at": "2026-02-03T18:10:00Z", "comment": "planted at 42"}}}
"""

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError, field_validator

from critsheet.errors import InputError, SheetError
from critsheet.labels import Done
from critsheet.render.words import plain
from critsheet.screen import Strict
from critsheet.sheet import Note, Sheet

SCHEMA: Literal["critsheet-ticks/1"] = "critsheet-ticks/1"
MAX_BYTES = 1_000_000
MAX_COMMENT = 2000
"""Characters of a comment, as the page allows; a longer one was not written there."""

_WAY_OUT = "Save it once more on the page of the sheet."


class Tick(Strict):
    """What a student set on one note, and when."""

    done: bool
    at: Annotated[str, Field(max_length=40)]
    comment: Annotated[str, Field(max_length=MAX_COMMENT)] = ""

    @field_validator("comment", mode="before")
    @classmethod
    def _one_line(cls, text: object) -> object:
        """A comment cut in the middle of a character is no reason to refuse the whole file."""
        return plain(text) if isinstance(text, str) else text

    @field_validator("at")
    @classmethod
    def _time(cls, text: str) -> str:
        _moment(text)
        return text


class Ticks(Strict):
    """A whole check-off file; `sheet` is the id of the sheet it belongs to, `notes` are by id."""

    schema_: Literal["critsheet-ticks/1"] = Field(alias="schema")
    sheet: Annotated[str, Field(max_length=100)]
    saved: Annotated[str, Field(max_length=40)]
    notes: Annotated[Mapping[str, Tick], Field(max_length=10_000)]


def load(path: Path, sheet: Sheet) -> Sheet:
    """The sheet with the ticks of a file set in it; of two ticks on a note the later one counts.

    Raises InputError where there is no such file or it belongs to another sheet, SheetError where it is damaged, too
    large or newer.
    """
    ticks = read(path)
    if ticks.sheet != sheet.id:
        raise InputError(
            f"{path} holds the ticks of another sheet ({ticks.sheet[:40]}, this one is {sheet.id}).",
            "Give the sheet.json that the student's page was made with.",
        )
    known = {note.id for note in (*sheet.notes, *sheet.left_out)}
    if unknown := sorted(set(ticks.notes) - known):
        raise InputError(f"{path} ticks a note that the sheet does not have: {unknown[0][:40]!r}.", _WAY_OUT)
    notes, left_out = (
        tuple(_ticked(note, ticks.notes.get(note.id)) for note in each) for each in (sheet.notes, sheet.left_out)
    )
    return sheet.model_copy(update={"notes": notes, "left_out": left_out})


def read(path: Path) -> Ticks:
    """A check-off file, checked by itself. Raises InputError or SheetError."""
    try:
        if path.stat().st_size > MAX_BYTES:
            raise SheetError(f"{path} is too large to be a check-off file.", _WAY_OUT)
        document = json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise InputError(f"Cannot read {path}: {error.strerror or error}.", "Check the path.") from error
    except (ValueError, RecursionError) as error:
        raise SheetError(f"{path} is not a whole check-off file: {error}.", _WAY_OUT) from error
    schema = document.get("schema") if isinstance(document, dict) else None
    if not isinstance(schema, str) or not schema.startswith("critsheet-ticks/"):
        raise SheetError(
            f"{path} is not a check-off file.", "Give the ticks-....json that the page of the sheet saves."
        )
    if schema != SCHEMA:
        raise SheetError(f"{path} was saved by another version ({schema[:40]}).", f"This Critsheet reads {SCHEMA}.")
    return _checked(document, path)


def _checked(document: Any, path: Path) -> Ticks:
    try:
        return Ticks.model_validate(document)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part)[:40] for part in first["loc"])
        raise SheetError(f"{path} is damaged at {place}: {first['msg']}.", _WAY_OUT) from error


def _ticked(note: Note, tick: Tick | None) -> Note:
    """A note as ticked, or with the tick taken away; as it is where it was ticked later than that."""
    if tick is None or (note.done and _moment(note.done.at) > _moment(tick.at)):
        return note
    done = Done(at=tick.at, comment=tick.comment) if tick.done else None
    return note.model_copy(update={"done": done})


def _moment(text: str) -> datetime:
    """When, of an ISO 8601 time; the beginning of time where it is empty, as before anything was set."""
    if not text:
        return datetime.min.replace(tzinfo=UTC)
    moment = datetime.fromisoformat(text)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
