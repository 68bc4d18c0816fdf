"""The archive's tables, as the queries use them. `migrations.py` is what creates them.

Times are text, ISO 8601 in UTC to the second, so that they sort and read the same in every database.
"""

from sqlalchemy import Column, ForeignKey, Integer, LargeBinary, MetaData, Table, Text

metadata = MetaData()


def _id() -> Column[int]:
    return Column("id", Integer, primary_key=True)


def _of(name: str, target: str, *, primary_key: bool = False) -> Column[int]:
    return Column(name, Integer, ForeignKey(target, ondelete="CASCADE"), primary_key=primary_key)


people = Table("people", metadata, _id(), Column("name", Text), Column("key", Text))
"""Everyone a sheet names as student or mentor; `key` is the name as it is compared."""

sheets = Table(
    "sheets",
    metadata,
    _id(),
    Column("sheet_id", Text),
    Column("recording_sha256", Text),
    _of("student", "people.id"),
    _of("mentor", "people.id"),
    Column("class_name", Text),
    Column("title", Text),
    Column("submission", Integer),
    Column("made", Text),
    Column("changed", Text),
    Column("filed", Text),
    Column("recording_file", Text),
    Column("recording_links", Text),
    Column("names", Text),
    Column("place", Text),
    Column("version", Integer),
)
"""One row a review: a recording of one student's shot. `place` is where its sheet.json lay when it was
filed; `names` are its characters and props, a line each."""

versions = Table(
    "versions",
    metadata,
    _id(),
    _of("sheet", "sheets.id"),
    Column("number", Integer),
    Column("sha256", Text),
    Column("changed", Text),
    Column("filed", Text),
    Column("document", LargeBinary),
)
"""Every form a sheet ever had, whole: zlib-compressed JSON."""

notes = Table(
    "notes",
    metadata,
    _id(),
    _of("sheet", "sheets.id"),
    Column("note", Text),
    Column("kind", Text),
    Column("category", Text),
    Column("body", Text),
    Column("subject", Text),
    Column("strength", Text),
    Column("followup", Text),
    Column("rank", Integer),
    Column("frames", Text),
    Column("starts", Text),
    Column("done_at", Text),
    Column("status", Text),
    Column("closed", Text),
)
"""The notes of each sheet as it is now. `frames` ("101-124 130-130") and `starts` (seconds) are parted by spaces."""

note_texts = Table(
    "note_texts",
    metadata,
    _of("note", "notes.id", primary_key=True),
    Column("action", Text),
    Column("quotes", Text),
)
"""What a note asks for, and the mentor's words, one line a moment."""

follows = Table(
    "follows",
    metadata,
    _of("sheet", "sheets.id", primary_key=True),
    Column("previous", Text, primary_key=True),
)
"""The sheets (by `sheet_id`) of the submissions before, that a sheet was made with."""

outcomes = Table(
    "outcomes",
    metadata,
    _of("sheet", "sheets.id", primary_key=True),
    Column("place", Integer, primary_key=True),
    Column("action", Text),
    Column("outcome", Text),
)
"""What a sheet says became of an earlier note, which it names by its wording."""

files = Table(
    "files",
    metadata,
    _id(),
    _of("student", "people.id"),
    Column("path", Text),
    Column("sha256", Text),
    Column("made", Text),
)
"""Files that were written from the archive about one student."""

facts = Table("facts", metadata, Column("name", Text, primary_key=True), Column("value", Text))
"""What holds for the whole archive: the vocabulary it was indexed with, the key its pseudonyms are made with."""
