"""The data model: what was said (Transcript), what to do about it (Note), and both together (Sheet).

Seconds are floats from the start of the recording. Frame numbers are the shot's own, and ranges
include both ends. The schema is versioned: a reader refuses a newer one instead of guessing.
"""

import hashlib
import json
import os
import tempfile
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, ValidationError, field_validator, model_validator

from critsheet.earlier import Earlier
from critsheet.errors import InputError, OutputError, SheetError
from critsheet.labels import (
    BodyPart,
    ByHand,
    Category,
    Done,
    FollowUp,
    FrameRange,
    FrameSource,
    Kind,
    Place,
    Scope,
    Share,
    Strength,
)
from critsheet.screen import OnScreen, Seconds, Still, Strict

__all__ = [
    "SCHEMA", "BodyPart", "ByHand", "Category", "Done", "Earlier", "FollowUp", "FrameRange", "FrameSource", "Kind",
    "Moment", "Note", "OnScreen", "Place", "Recording", "Repair", "Review", "Scope", "Segment", "Share", "Sheet",
    "Shot", "Still", "Strength", "Transcript", "Word", "from_document", "from_json", "json_schema", "load", "save",
    "sheet_id", "to_json", "write_whole",
]  # fmt: skip

SCHEMA: Literal["critsheet/1"] = "critsheet/1"
MAX_SHEET_BYTES = 64_000_000
"""A sheet of an hour's talk takes about 5 MB; anything far above is not one of ours."""


class Word(Strict):
    """One spoken word. `raw` is what the recogniser or caption file gave, where a repair changed it."""

    start: Seconds
    end: Seconds
    text: str
    raw: str | None = None
    probability: Share = 1.0


class Segment(Strict):
    """One stretch of speech or one caption cue; `text` is its words joined by single spaces."""

    start: Seconds
    end: Seconds
    text: str
    words: tuple[Word, ...]


class Repair(Strict):
    """One misheard trade word or name put right: when, from what, to what, by which rule."""

    start: Seconds
    raw: str
    text: str
    rule: str


class Transcript(Strict):
    """Everything that was said, in order of time."""

    language: str
    segments: tuple[Segment, ...]
    repairs: tuple[Repair, ...] = ()

    @property
    def words(self) -> list[Word]:
        """All words in order."""
        return [word for segment in self.segments for word in segment.words]

    @property
    def duration(self) -> float:
        """Seconds to the end of the last segment, 0.0 if nothing was said."""
        return max((segment.end for segment in self.segments), default=0.0)


class Recording(Strict):
    """The file that the sheet was made from; `sha256` in hex. `links` are where a page beside the sheet may find it."""

    file: str
    sha256: str
    duration: Seconds
    links: tuple[str, ...] = ()


class Review(Strict):
    """Who reviewed what, as far as the user said."""

    title: str
    mentor: str | None = None
    student: str | None = None
    submission: Annotated[int, Field(ge=1)] | None = None
    recording: Recording


class Shot(Strict):
    """The shot's frame numbering. `fps` is an exact rate as text: "24" or "24000/1001"."""

    name: str | None = None
    file: str | None = None
    sha256: str | None = None
    fps: str = "24"
    first: int | None = None
    last: int | None = None

    @field_validator("fps")
    @classmethod
    def _rate(cls, text: str) -> str:
        rate = Fraction(text)
        if not 1 <= rate <= 240:
            raise ValueError("fps must lie between 1 and 240")
        return text

    @model_validator(mode="after")
    def _ordered(self) -> "Shot":
        if self.first is not None and self.last is not None and self.first > self.last:
            raise ValueError("the first frame lies after the last")
        return self

    @property
    def rate(self) -> Fraction:
        """Frames a second, exactly."""
        return Fraction(self.fps)


class Moment(Strict):
    """A stretch of the recording in which a note was spoken, and the mentor's own words there."""

    start: Seconds
    end: Seconds
    quote: str


class Note(Strict):
    """One line of the checklist. Labels mean what tests/eval/GUIDE.md says.

    `looped`: the whole shot ran over and over while this was said, so that no frame of it was pointed at.
    `edited`: the wording is the mentor's. `by_hand`: all that the mentor set; making the sheet again leaves it alone.
    `took`: ids of the notes that the mentor merged into this one.
    """

    id: str
    kind: Kind
    category: Category
    also: tuple[Category, ...] = ()
    subject: str | None = None
    body: tuple[BodyPart, ...] = ()
    moments: tuple[Moment, ...]
    frames: tuple[FrameRange, ...] = ()
    looped: bool = False
    stills: tuple[Still, ...] = ()
    place: Place | None = None
    scope: Scope = "moment"
    strength: Strength | None = None
    followup: FollowUp | None = None
    action: str
    rank: Annotated[int, Field(ge=1)]
    reasons: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    edited: bool = False
    by_hand: tuple[ByHand, ...] = ()
    took: tuple[str, ...] = ()
    done: Done | None = None


class Sheet(Strict):
    """A whole checklist: notes in order of rank, with the transcript they came from; `language` is that of its page.

    `earlier` are the notes still open from earlier submissions, where those were given; `doubts` are what to mind
    about the sheet as a whole, in plain words. `left_out` are notes that the mentor struck out: no form of the sheet
    shows them, and making it again does not bring them back. `corrected` is when the mentor last set anything.
    """

    schema_: Literal["critsheet/1"] = Field(default=SCHEMA, alias="schema")
    id: str
    made: str
    language: Annotated[str, Field(pattern=r"^[A-Za-z0-9-]{2,35}$")] = "en"
    review: Review
    shot: Shot | None = None
    settings: dict[str, Any] = Field(default_factory=dict)
    transcript: Transcript
    notes: tuple[Note, ...]
    top: tuple[str, ...] = ()
    on_screen: OnScreen | None = None
    earlier: tuple[Earlier, ...] = ()
    doubts: tuple[str, ...] = ()
    left_out: tuple[Note, ...] = ()
    corrected: str | None = None

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    @model_validator(mode="after")
    def _ids_agree(self) -> "Sheet":
        ids = [note.id for note in self.notes]
        every = [*ids, *(note.id for note in self.left_out)]
        if len(set(every)) != len(every):
            raise ValueError("two notes share one id")
        if unknown := set(self.top) - set(ids):
            raise ValueError(f"top names notes that do not exist: {sorted(unknown)}")
        return self


def to_json(sheet: Sheet) -> str:
    """The sheet as JSON text, keys in a fixed order, ending in a newline."""
    return json.dumps(sheet.model_dump(mode="json", by_alias=True), ensure_ascii=False, indent=1) + "\n"


def json_schema() -> str:
    """The JSON Schema (draft 2020-12) of `critsheet/1` as text, ending in a newline."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **Sheet.model_json_schema(by_alias=True)}
    return json.dumps(schema, indent=1, sort_keys=True) + "\n"


def write_whole(path: Path, data: str | bytes) -> None:
    """Write a file whole or not at all: a temporary neighbour takes its place in one step.

    Raises OutputError where the folder cannot be written or the disk is full.
    """
    content = data.encode() if isinstance(data, str) else data
    temporary: str | None = None
    try:
        handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
    except OSError as error:
        raise OutputError(
            f"Cannot write {path}: {error.strerror or error}.", "Choose another folder with --out, or free some space."
        ) from error
    finally:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)


def save(sheet: Sheet, path: Path) -> None:
    """Write the sheet as JSON, whole or not at all."""
    write_whole(path, to_json(sheet))


def load(path: Path) -> Sheet:
    """Read a sheet.

    Raises InputError where there is no such file, SheetError where it is damaged, too large or newer.
    """
    try:
        if path.stat().st_size > MAX_SHEET_BYTES:
            raise SheetError(f"{path} is too large to be a sheet.", "Choose the sheet.json that critsheet make wrote.")
        text = path.read_bytes()
    except OSError as error:
        raise InputError(f"Cannot read {path}: {error.strerror or error}.", "Check the path.") from error
    return from_json(text, str(path))


def from_json(text: bytes, origin: str) -> Sheet:
    """A checked sheet from JSON in UTF-8; `origin` names the source in errors. Raises SheetError."""
    try:
        document = json.loads(text.decode("utf-8"))
    except ValueError as error:
        raise SheetError(
            f"{origin} is not a whole sheet: {error}.", "Take it from a backup, or run critsheet make again."
        ) from error
    return from_document(document, origin)


def from_document(document: Any, origin: str) -> Sheet:
    """A checked sheet from parsed JSON; `origin` names the source in errors. Raises SheetError."""
    schema = document.get("schema") if isinstance(document, dict) else None
    if not isinstance(schema, str) or not schema.startswith("critsheet/"):
        raise SheetError(f"{origin} is not a Critsheet sheet.", "Choose the sheet.json that critsheet make wrote.")
    if schema != SCHEMA:
        raise SheetError(
            f"{origin} was made by another version ({schema}).", f"This Critsheet reads {SCHEMA}: upgrade it."
        )
    try:
        return Sheet.model_validate(document)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"]) or "the sheet"
        raise SheetError(
            f"{origin} is damaged at {place}: {first['msg']}.", "Take it from a backup, or run critsheet make again."
        ) from error


def sheet_id(recording_sha256: str, settings: dict[str, Any]) -> str:
    """A stable id: the same recording with the same settings always gets the same one."""
    key = json.dumps([recording_sha256, settings], sort_keys=True, ensure_ascii=False)
    return "s" + hashlib.sha256(key.encode()).hexdigest()[:12]
