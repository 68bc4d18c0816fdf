"""What was told, as tables: every note of a cohort without its words, and the words of some for a glossary."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, get_args

from sqlalchemy import Connection, select

from critsheet.archive.standing import Status
from critsheet.archive.tables import note_texts, notes, people, sheets
from critsheet.archive.wanted import Wanted
from critsheet.labels import Category, Kind, Strength

if TYPE_CHECKING:
    import pandas as pd

    from critsheet.archive.opening import Archive

_AT_A_TIME = 100_000
_SHEET_COLUMNS = ("student", "mentor", "class_", "title", "submission", "told_on")


@dataclass(frozen=True)
class Saying:
    """A note in words; `characters` are the characters and props that its sheet knows."""

    category: Category
    kind: Kind
    action: str
    quotes: tuple[str, ...]
    strength: Strength | None
    characters: tuple[str, ...]


def told(archive: "Archive", wanted: Wanted) -> "pd.DataFrame":
    """One row a note of the sheets as they are now, in the order they were filed.

    Columns: sheet (number in the archive), note (id), student, mentor, class_, title (text or missing), submission
    (Int64), told_on, closed_on, ticked_on (datetime64, UTC), kind, category, status (categories of text), body (parts
    parted by spaces), subject (text or missing), has_frames (bool). Raises InputError for somebody the archive lacks.
    """
    return archive.read(lambda connection: _told(connection, wanted))


def _told(connection: Connection, wanted: Wanted) -> "pd.DataFrame":
    import pandas as pd

    reviews = _reviews(connection, wanted)
    chosen = select(
        notes.c.sheet,
        notes.c.note,
        notes.c.kind,
        notes.c.category,
        notes.c.body,
        notes.c.subject,
        notes.c.status,
        notes.c.closed,
        notes.c.done_at,
        (notes.c.frames != "").label("has_frames"),
    ).order_by(notes.c.id)
    if conditions := wanted.conditions(connection):
        chosen = chosen.where(notes.c.sheet.in_(select(sheets.c.id).where(*conditions)))
    rows = connection.execution_options(yield_per=_AT_A_TIME).execute(chosen)
    parts = [_typed(pd.DataFrame.from_records(part, columns=list(rows.keys()))) for part in rows.partitions()]
    whole = pd.concat(parts, ignore_index=True) if parts else _typed(pd.DataFrame(columns=list(rows.keys())))
    whole = whole.join(reviews, on="sheet")
    for column in ("student", "mentor", "class_", "title"):
        whole[column] = whole[column].astype("category")
    return whole


def _typed(part: "pd.DataFrame") -> "pd.DataFrame":
    """Small types: two million notes are to fit into a laptop."""
    import pandas as pd

    for column, choices in (("kind", get_args(Kind)), ("category", get_args(Category)), ("status", get_args(Status))):
        part[column] = pd.Categorical(part[column], categories=choices)
    part["closed_on"], part["ticked_on"] = _times(part.pop("closed")), _times(part.pop("done_at"))
    part["has_frames"] = part["has_frames"].astype(bool)
    return part


def _times(texts: "pd.Series[str]") -> "pd.Series[pd.Timestamp]":
    """Times to the second, also where there are none."""
    import pandas as pd

    return pd.to_datetime(texts, utc=True, format="%Y-%m-%dT%H:%M:%SZ").dt.as_unit("s")


def _reviews(connection: Connection, wanted: Wanted) -> "pd.DataFrame":
    import pandas as pd

    student, mentor = people.alias("student"), people.alias("mentor")
    chosen = (
        select(sheets.c.id, student.c.name, mentor.c.name, sheets.c.class_name, sheets.c.title, sheets.c.submission)
        .add_columns(sheets.c.made)
        .outerjoin_from(sheets, student, student.c.id == sheets.c.student)
        .outerjoin(mentor, mentor.c.id == sheets.c.mentor)
        .where(*wanted.conditions(connection))
    )
    rows = [tuple(row) for row in connection.execute(chosen)]
    table = pd.DataFrame.from_records(rows, columns=["sheet", *_SHEET_COLUMNS], index="sheet")
    table["told_on"] = _times(table["told_on"])
    table["submission"] = table["submission"].astype("Int64")
    return table


def sayings(archive: "Archive", wanted: Wanted, per_category: int) -> list[Saying]:
    """The words of the notes that were filed last, some a category, in a fixed order."""
    return archive.read(lambda connection: _sayings(connection, wanted, per_category))


def _sayings(connection: Connection, wanted: Wanted, per_category: int) -> list[Saying]:
    found = []
    for category in get_args(Category):
        chosen = (
            select(notes.c.kind, notes.c.strength, note_texts.c.action, note_texts.c.quotes, sheets.c.names)
            .join_from(notes, note_texts, note_texts.c.note == notes.c.id)
            .join(sheets, sheets.c.id == notes.c.sheet)
            .where(notes.c.category == category, *wanted.conditions(connection))
            .order_by(notes.c.id.desc())
            .limit(per_category)
        )
        for row in connection.execute(chosen):
            characters = tuple(filter(None, row.names.split("\n")))
            found.append(
                Saying(category, row.kind, row.action, tuple(row.quotes.split("\n")), row.strength, characters)
            )
    return found


def names_of_people(archive: "Archive") -> Sequence[str]:
    """Everyone whom the archive knows, in order of name."""
    return archive.read(
        lambda connection: list(connection.execute(select(people.c.name).order_by(people.c.key)).scalars())
    )
