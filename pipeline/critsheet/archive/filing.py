"""Files sheets: each review once, in its latest form, with every earlier form kept whole."""

import hashlib
import json
import zlib
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from sqlalchemy import Connection, Row, delete, func, insert, select, update

from critsheet.archive import note_index, rows, standing
from critsheet.archive.note_index import Terms
from critsheet.archive.rows import MOST_NAME, person_key
from critsheet.archive.tables import follows, note_texts, notes, outcomes, people, sheets, versions
from critsheet.archive.terms import concepts_of, fact, labels_of, terms_of
from critsheet.errors import SheetError
from critsheet.render.words import plain
from critsheet.sheet import Note, Sheet

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

Outcome = Literal["added", "replaced", "already there", "older"]
"""What became of a sheet: "older" means that the archive has a later form of it, and keeps this one behind that."""

MOST_NUMBER = 2**31 - 1
"""What a database takes for a number."""
_LEVEL = 6


@dataclass(frozen=True)
class Under:
    """What a sheet is filed under: ids of people, the name of the class."""

    student: int | None
    mentor: int | None
    class_: str | None

    def facts(self) -> list[str]:
        """Its index terms."""
        people_ = (("student", self.student), ("mentor", self.mentor))
        return [fact(what, key) for what, key in people_ if key] + ([class_term(self.class_)] if self.class_ else [])


@dataclass(frozen=True)
class Prepared:
    """A sheet as it will be filed: all that takes time is done before the archive is locked."""

    sheet: Sheet
    document: bytes
    sha256: str
    changed: str
    place: str | None
    terms: tuple[Terms, ...]


def prepare(sheet: Sheet, vocabulary: "Vocabulary", place: Path | None = None) -> Prepared:
    """The sheet with its index terms. `place` is its file. Raises SheetError where its dates cannot be read."""
    _check_keys(sheet)
    document = sheet.model_dump(mode="json", by_alias=True)
    return Prepared(
        sheet=sheet,
        document=zlib.compress(_dump(document), _LEVEL),
        sha256=digest(document),
        changed=rows.changed(sheet),
        place=_written(place) if place else None,
        terms=tuple(_terms(note, vocabulary) for note in sheet.notes),
    )


def digest(document: dict[str, Any]) -> str:
    """What tells one form from another, in hex: made again with the same options, a sheet differs by its date alone."""
    return hashlib.sha256(_dump({**document, "made": ""})).hexdigest()


def _written(place: Path) -> str | None:
    """A path as text; None for one with bytes that are no letters, which no database takes."""
    text = str(place.resolve())
    return text if text == text.encode("utf-8", "replace").decode() else None


def _check_keys(sheet: Sheet) -> None:
    """Ids and hashes are what the archive tells sheets and notes apart by: Critsheet writes them in plain letters."""
    for key in (sheet.id, sheet.review.recording.sha256, *(note.id for note in sheet.notes)):
        if not key or plain(key) != key or len(key) > MOST_NAME:
            raise SheetError(
                f"“{plain(sheet.review.title)[:MOST_NAME]}” is damaged: {plain(key)[:40]!r} is no id.",
                "Take it from a backup, or run critsheet make again.",
            )
    if max(sheet.review.submission or 1, *(note.rank for note in sheet.notes), 1) > MOST_NUMBER:
        raise SheetError(f"“{plain(sheet.review.title)[:MOST_NAME]}” is damaged: its numbers are far too large.")


def file(connection: Connection, one: Prepared, class_: str | None, now: str) -> Outcome:
    """File a sheet. The same sheet again changes nothing but the class and place it is filed under."""
    review = one.sheet.review
    under = Under(_person(connection, review.student), _person(connection, review.mentor), class_)
    known = connection.execute(
        select(sheets).where(
            sheets.c.recording_sha256 == review.recording.sha256,
            func.coalesce(sheets.c.student, 0) == (under.student or 0),
        )
    ).one_or_none()
    if known is None:
        values = _row(one, under, now) | {"version": 1}
        sheet = int(connection.execute(insert(sheets).values(values).returning(sheets.c.id)).scalar_one())
        _keep(connection, sheet, 1, one, now)
        _fill(connection, sheet, one, under)
        return "added"
    under = replace(under, class_=class_ or known.class_name)
    return _refile(connection, one, known, under, now)


def _refile(connection: Connection, one: Prepared, known: Row[Any], under: Under, now: str) -> Outcome:
    filed = select(versions.c.sha256, versions.c.number).where(versions.c.sheet == known.id)
    numbers = {row.sha256: int(row.number) for row in connection.execute(filed)}
    if one.sha256 in numbers:
        where = {"class_name": under.class_, "place": one.place or known.place}
        if numbers[one.sha256] != known.version or where == {"class_name": known.class_name, "place": known.place}:
            return "already there"
        if under.class_ != known.class_name:
            _replace(connection, one, known.id, under, where)
        else:  # the folder was moved
            connection.execute(update(sheets).where(sheets.c.id == known.id).values(where))
        return "already there"
    number = max(numbers.values()) + 1
    _keep(connection, known.id, number, one, now)
    if one.changed < known.changed:
        return "older"
    _replace(connection, one, known.id, under, _row(one, under, now) | {"version": number})
    return "replaced"


def _replace(connection: Connection, one: Prepared, sheet: int, under: Under, row: dict[str, Any]) -> None:
    before = standing.predecessors(connection, sheet)
    empty(connection, sheet)
    connection.execute(update(sheets).where(sheets.c.id == sheet).values(row))
    _fill(connection, sheet, one, under)
    standing.settle(connection, before)


def refresh(connection: Connection, sheet: int, one: Prepared) -> None:
    """Make the rows of a filed sheet anew from its document; its class and place stay."""
    known = connection.execute(select(sheets).where(sheets.c.id == sheet)).one()
    under = Under(
        _person(connection, one.sheet.review.student), _person(connection, one.sheet.review.mentor), known.class_name
    )
    _replace(connection, one, sheet, under, _row(one, under, known.filed) | {"place": known.place})


def empty(connection: Connection, sheet: int) -> None:
    """Take a sheet's notes out of tables and index."""
    note_index.delete(connection, sheet)
    for table in (notes, follows, outcomes):
        connection.execute(delete(table).where(table.c.sheet == sheet))


def _row(one: Prepared, under: Under, now: str) -> dict[str, Any]:
    filed = {"student": under.student, "mentor": under.mentor, "class_name": under.class_}
    return {**rows.sheet_row(one.sheet), **filed, "filed": now, "place": one.place}


def _keep(connection: Connection, sheet: int, number: int, one: Prepared, now: str) -> None:
    values = {
        "sheet": sheet,
        "number": number,
        "sha256": one.sha256,
        "changed": one.changed,
        "filed": now,
        "document": one.document,
    }
    connection.execute(insert(versions).values(values))


def _fill(connection: Connection, sheet: int, one: Prepared, under: Under) -> None:
    """Write the notes of a sheet, their texts, their index terms, and what they say of earlier ones."""
    if one.sheet.notes:
        _fill_notes(connection, sheet, one, under)
    for table, told in ((follows, rows.follows_rows(one.sheet)), (outcomes, rows.outcome_rows(one.sheet))):
        if told:
            connection.execute(insert(table), [{"sheet": sheet, **row} for row in told])
    standing.settle(connection, [sheet, *standing.predecessors(connection, sheet)])


def _fill_notes(connection: Connection, sheet: int, one: Prepared, under: Under) -> None:
    listed = one.sheet.notes
    connection.execute(
        insert(notes), [{"sheet": sheet, "status": standing.OPEN, **rows.note_row(note)} for note in listed]
    )
    filed = select(notes.c.note, notes.c.id).where(notes.c.sheet == sheet)
    ids = {row.note: int(row.id) for row in connection.execute(filed)}
    connection.execute(insert(note_texts), [{"note": ids[note.id], **rows.texts_row(note)} for note in listed])
    shared = under.facts()
    terms = [
        (ids[note.id], replace(each, facts=(*each.facts, *shared)))
        for note, each in zip(listed, one.terms, strict=True)
    ]
    note_index.insert(connection, terms)


def class_term(class_: str) -> str:
    """The index term of a class: letters and digits of its name's hash, as names hold anything."""
    return fact("class", hashlib.sha256(class_.casefold().encode()).hexdigest()[:12])


def _person(connection: Connection, name: str | None) -> int | None:
    if not name or not (key := person_key(name)):
        return None
    found = connection.execute(select(people.c.id).where(people.c.key == key)).scalar_one_or_none()
    if found is None:
        values = {"name": plain(name)[:MOST_NAME], "key": key}
        found = connection.execute(insert(people).values(values).returning(people.c.id)).scalar_one()
    return int(found)


def _terms(note: Note, vocabulary: "Vocabulary") -> Terms:
    texts = rows.texts_row(note)
    return Terms(
        action=terms_of(texts["action"]),
        quotes=terms_of(texts["quotes"]),
        concepts=concepts_of(note, (texts["action"], *texts["quotes"].split("\n")), vocabulary),
        facts=labels_of(note),
    )


def now() -> str:
    """This moment, as the archive keeps times."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _dump(document: dict[str, Any]) -> bytes:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode("utf-8", "replace")
