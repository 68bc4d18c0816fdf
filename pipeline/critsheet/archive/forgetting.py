"""Forgets students, or what is old: takes everything out, cleans the database, and looks whether anything is left.

Deleting is one transaction. Cleaning and looking come every time, also where nothing is left to delete: after a mishap
in between, forgetting again ends what was begun.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Select, Text, delete, func, or_, select

from critsheet.archive import cleaning, listing, mentions
from critsheet.archive.mentions import Looked
from critsheet.archive.names import KnownNames, shared_parts
from critsheet.archive.rows import person_key
from critsheet.archive.tables import files, follows, metadata, notes, people, sheets, versions
from critsheet.archive.written_files import Fate, Written, take_away, written_about
from critsheet.errors import ArchiveError

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive

Tell = Callable[[str, float], None]
CLEANING, LOOKING, SEARCHING = "Cleaning the database", "Looking through the other sheets", "Searching the file"


@dataclass(frozen=True)
class Doomed:
    """What there is to forget: sheets (number and title), how many forms and notes they have, files, folders outside.

    `people` go with them: no other sheet has them as student or mentor. `mentors` were to go, but stay as mentors of
    these other sheets.
    """

    sheets: tuple[tuple[int, str], ...]
    forms: int
    notes: int
    written: tuple[Written, ...]
    places: tuple[Path, ...]
    people: tuple[str, ...]
    mentors: dict[str, tuple[int, ...]]


@dataclass(frozen=True)
class Forgotten:
    """What went, and what is left.

    `files` could not be deleted, and why. `looked` is where the names of those who went are still said; `not_alone` are
    parts of them that others bear too, and who: by themselves they were not looked for. `remains`: the database still
    holds what was deleted. `by_bytes`: it is a file, and was searched to its last byte.
    """

    went: Doomed
    files: dict[Path, Fate]
    looked: Looked
    not_alone: dict[str, tuple[str, ...]]
    remains: bool
    by_bytes: bool

    @property
    def everything(self) -> bool:
        """Whether nothing is left that this computer can see."""
        looked = self.looked
        others = looked.mentions or looked.damaged or looked.files or self.went.mentors
        return not (self.remains or others or "changed since" in self.files.values())


def doomed(archive: "Archive", student: str | None, before: str | None) -> Doomed:
    """What there is to forget of a student, of what was made before a day, or of both together."""
    return archive.read(lambda connection: _doomed(connection, student, before))


def forget(archive: "Archive", student: str | None, before: str | None, tell: Tell) -> Forgotten:
    """Forget a student, what was made before a day, or both together. The archive must be open for writing.

    Raises ArchiveError; what was deleted by then is gone, and forgetting again does the rest.
    """
    taken: list[dict[Path, Fate]] = []

    def work(connection: Connection) -> tuple[Doomed, set[bytes]]:
        deleted = _delete(connection, student, before)
        # Before their rows are gone for good: afterwards nobody would know them any more.
        if not taken:
            taken.append(take_away(deleted[0].written))
        return deleted

    went, cut = archive.write(work)
    tell(CLEANING, 0.0)
    try:
        cleaning.clean(archive)
    except ArchiveError as error:
        raise ArchiveError(f"Deleted, but not cleaned yet: {error.what}", "Run the same command again.") from error
    names = [student] if student and not before else list(went.people)
    looked, not_alone = archive.read(lambda connection: _look(connection, names, went, tell))
    remains = _remains(archive, {*went.people, *names} - set(went.mentors), cut, tell)
    return Forgotten(went, taken[0], looked, not_alone, remains, by_bytes=archive.file is not None)


def _doomed(connection: Connection, student: str | None, before: str | None) -> Doomed:
    chosen = _chosen(student, before)
    rows = connection.execute(select(sheets).where(sheets.c.id.in_(chosen)).order_by(sheets.c.id)).all()
    named = {row.student for row in rows} | {row.mentor for row in rows}
    students = {row.student for row in rows if row.student}
    wholly: set[int] = set()
    if student and not before:
        wholly.update(connection.execute(select(people.c.id).where(people.c.key == person_key(student))).scalars())
    going, mentors = _people(connection, {row.id for row in rows}, named | wholly, wholly)
    places = {Path(row.place).parent for row in rows if row.place}
    return Doomed(
        sheets=tuple((row.id, row.title) for row in rows),
        forms=_count(connection, select(versions.c.id).where(versions.c.sheet.in_(chosen))),
        notes=_count(connection, select(notes.c.id).where(notes.c.sheet.in_(chosen))),
        written=tuple(written_about(connection, students | wholly)),
        places=tuple(sorted(place for place in places if place.exists())),
        people=going,
        mentors=mentors,
    )


def _chosen(student: str | None, before: str | None) -> "Select[tuple[int]]":
    """The sheets to forget, by id."""
    chosen = select(sheets.c.id)
    if student:
        whose = select(people.c.id).where(people.c.key == person_key(student))
        chosen = chosen.where(sheets.c.student.in_(whose))
    return chosen.where(sheets.c.made < before) if before else chosen


def _people(
    connection: Connection, gone: Collection[int], named: Collection[int], wholly: Collection[int]
) -> tuple[tuple[str, ...], dict[str, tuple[int, ...]]]:
    """Who goes with some sheets, and who was to go wholly but stays as the mentor of others."""
    rows = connection.execute(
        select(people.c.id, people.c.name, sheets.c.id.label("number"), sheets.c.mentor)
        .outerjoin_from(people, sheets, or_(sheets.c.student == people.c.id, sheets.c.mentor == people.c.id))
        .order_by(people.c.id, sheets.c.id)
    ).all()
    staying = [row for row in rows if row.number is not None and row.number not in gone]
    stay = {row.id for row in staying}
    mentors: dict[str, tuple[int, ...]] = {}
    for row in staying:
        if row.mentor == row.id and row.id in wholly:
            mentors[row.name] = (*mentors.get(row.name, ()), row.number)
    return tuple({row.id: row.name for row in rows if row.id in named and row.id not in stay}.values()), mentors


def _count(connection: Connection, rows: "Select[tuple[int]]") -> int:
    return int(connection.execute(select(func.count()).select_from(rows.subquery())).scalar_one())


def _delete(connection: Connection, student: str | None, before: str | None) -> tuple[Doomed, set[bytes]]:
    """Delete within a transaction. Returns what went, and pieces of it to be looked for afterwards."""
    went, chosen = _doomed(connection, student, before), _chosen(student, before)
    documents = connection.execute(select(versions.c.document).where(versions.c.sheet.in_(chosen))).scalars()
    cut = {piece for document in documents for piece in cleaning.slices(document)}
    ids = select(sheets.c.sheet_id).where(sheets.c.id.in_(chosen))
    connection.execute(delete(follows).where(follows.c.previous.in_(ids)))
    for each in went.written:
        connection.execute(delete(files).where(files.c.path == str(each.path)))
    listing.remove_all(connection, [number for number, _ in went.sheets])
    return went, cut


def _look(
    connection: Connection, names: Sequence[str], went: Doomed, tell: Tell
) -> tuple[Looked, dict[str, tuple[str, ...]]]:
    keys = {person_key(name) for name in names}
    others = [row.name for row in connection.execute(select(people)) if row.key not in keys]
    shared = {part: who for name in names for part, who in shared_parts(name, others).items()}
    own = {number for numbers in went.mentors.values() for number in numbers}
    known = KnownNames(dict(enumerate(names)), shared)
    return mentions.look_for(connection, known, own, lambda share: tell(LOOKING, share)), shared


def _remains(archive: "Archive", names: Collection[str], cut: Collection[bytes], tell: Tell) -> bool:
    """Whether the database holds what was deleted: a piece of a document, or a name that no other sheet says."""
    forms = {form for name in names for form in cleaning.bytes_of(name)}
    if archive.file is not None:
        pieces = cleaning.still_in(archive.file, cut, lower=False, tell=lambda share: tell(SEARCHING, share / 2))
        if any(not archive.read(partial(_has_document, piece=piece)) for piece in pieces):
            return True
        forms = cleaning.still_in(archive.file, forms, lower=True, tell=lambda share: tell(SEARCHING, (1 + share) / 2))
    rows = {form: archive.read(partial(_rows_with, form=form.decode())) for form in forms}
    if archive.file is not None and not all(rows.values()):
        return True
    keys = {person_key(name) for name in names}
    return any(person_key(text) in keys for texts in rows.values() for text in texts)


def _has_document(connection: Connection, piece: bytes) -> bool:
    """Whether a document that is there by right has this piece: one recording of two students gives two that do."""
    chosen = select(versions.c.id).where(func.instr(versions.c.document, piece) > 0).limit(1)
    return connection.execute(chosen).first() is not None


def _rows_with(connection: Connection, form: str) -> list[str]:
    """Every text in any column of any table that has a name in it, in any case."""
    place = func.instr if connection.dialect.name == "sqlite" else func.strpos
    columns = [column for table in metadata.sorted_tables for column in table.columns if isinstance(column.type, Text)]
    return [
        text
        for column in columns
        for text in connection.execute(select(column).where(place(func.lower(column), form) > 0)).scalars()
    ]
