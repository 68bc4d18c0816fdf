"""Searches the notes of an archive: words, phrases and the trade's synonyms, the best first."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, RowMapping, select, text

from critsheet.archive.marking import Marked, mark
from critsheet.archive.note_index import MOST_RANKED, matching
from critsheet.archive.query import All, Asked, understand
from critsheet.archive.tables import note_texts, notes, people, sheets
from critsheet.archive.wanted import Wanted
from critsheet.errors import InputError

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive
    from critsheet.vocabulary import Vocabulary


@dataclass(frozen=True)
class Hit:
    """A note that was found. `quote` is the mentor's words where they match best, from `start` (seconds) on.

    `number` is the sheet's in the archive. `frames` are (first, last). `place` is where the sheet.json lay.
    `loose`: it has some of the words only.
    """

    number: int
    note: str
    title: str
    student: str | None
    mentor: str | None
    class_: str | None
    submission: int | None
    made: str
    kind: str
    category: str
    body: tuple[str, ...]
    status: str
    action: Marked
    quote: Marked
    start: float | None
    frames: tuple[tuple[int, int], ...]
    rank: int
    recording: str
    recording_links: tuple[str, ...]
    place: str | None
    loose: bool = False


@dataclass(frozen=True)
class Found:
    """The best hits; `total` notes have everything that was asked for (`many`: at least so many)."""

    hits: tuple[Hit, ...]
    total: int
    many: bool


def search(archive: "Archive", typed: str, wanted: Wanted, vocabulary: "Vocabulary", limit: int = 20) -> Found:
    """The notes that match best; where few have every word, then such as have some.

    Without words, those filed last. Raises InputError where nothing can be looked for, ArchiveError.
    """
    asked = understand(typed, vocabulary)
    if asked.without and not asked.parts:
        raise InputError("That only says what to leave out.", "Type a word to look for as well.")
    if typed.strip() and not asked.parts:
        raise InputError(f"There is no word in “{typed.strip()[:40]}”.", "Type what a mentor might say: foot slides.")
    return archive.read(lambda connection: _search(connection, asked, wanted, vocabulary, limit))


def _search(connection: Connection, asked: Asked, wanted: Wanted, vocabulary: "Vocabulary", limit: int) -> Found:
    facts = wanted.facts(connection)
    ranked, total = best(connection, asked.strictly(facts), wanted, limit)
    some: list[int] = []
    if len(ranked) < limit and len(asked.parts) > 1:
        also, _ = best(connection, asked.loosely(facts), wanted, limit)
        some = [note for note in also if note not in ranked][: limit - len(ranked)]
    rows = _rows(connection, [*ranked, *some])
    hits = (_hit(rows[note], asked, vocabulary, loose=note in some) for note in (*ranked, *some))
    return Found(tuple(hits), total, total >= MOST_RANKED)


def best(connection: Connection, node: All, wanted: Wanted, limit: int) -> tuple[list[int], int]:
    """The ids of the notes that match best, and how many match, MOST_RANKED at most."""
    parameters: dict[str, object] = {"limit": limit, "most": MOST_RANKED}
    key, conditions, score, source = "notes.id", list[str](), "0", "notes"
    if node.parts:
        key, condition, score, given = matching(connection.dialect.name, node)
        conditions.append(condition)
        parameters |= given
        source = "note_index" + (f" JOIN notes ON notes.id = {key}" if wanted.status or _days(wanted) else "")
    if wanted.status:
        conditions.append("notes.status = :status")
        parameters["status"] = wanted.status
    if _days(wanted):
        source += " JOIN sheets ON sheets.id = notes.sheet"
        conditions += [f"sheets.made {sign} :{name}" for name, sign, _ in _days(wanted)]
        parameters |= {name: day for name, _, day in _days(wanted)}
    where = f"WHERE {' AND '.join(conditions)}" if conditions else ""
    newest = f"SELECT {key} AS note, {score} AS score FROM {source} {where} ORDER BY {key} DESC LIMIT :most"
    query = (
        f"SELECT note, count(*) OVER () AS total FROM ({newest}) AS newest ORDER BY score DESC, note DESC LIMIT :limit"
    )
    rows = connection.execute(text(query), parameters).all()
    return [row.note for row in rows], rows[0].total if rows else 0


def _days(wanted: Wanted) -> list[tuple[str, str, str]]:
    days = (("since", ">=", wanted.since), ("before", "<", wanted.before))
    return [(name, sign, day) for name, sign, day in days if day]


def _rows(connection: Connection, found: Sequence[int]) -> Mapping[int, RowMapping]:
    student, mentor = people.alias("student"), people.alias("mentor")
    rows = connection.execute(
        select(notes, note_texts.c.action, note_texts.c.quotes, sheets, student.c.name, mentor.c.name)
        .with_only_columns(
            notes.c.id.label("key"),
            *(column for column in notes.c if column.name not in ("id", "sheet")),
            note_texts.c.action,
            note_texts.c.quotes,
            *(column for column in sheets.c if column.name not in ("id", "student", "mentor")),
            sheets.c.id.label("number"),
            student.c.name.label("student_name"),
            mentor.c.name.label("mentor_name"),
        )
        .join_from(notes, note_texts, note_texts.c.note == notes.c.id)
        .join(sheets, sheets.c.id == notes.c.sheet)
        .outerjoin(student, student.c.id == sheets.c.student)
        .outerjoin(mentor, mentor.c.id == sheets.c.mentor)
        .where(notes.c.id.in_(found))
    )
    return {row["key"]: row for row in rows.mappings()}


def _hit(row: Mapping[Any, Any], asked: Asked, vocabulary: "Vocabulary", *, loose: bool) -> Hit:
    quotes = [mark(line, asked, vocabulary) for line in row["quotes"].split("\n")]
    at = max(range(len(quotes)), key=lambda place: (len(quotes[place].spans), -place))
    starts = [float(each) for each in row["starts"].split()]
    return Hit(
        number=row["number"],
        note=row["note"],
        title=row["title"],
        student=row["student_name"],
        mentor=row["mentor_name"],
        class_=row["class_name"],
        submission=row["submission"],
        made=row["made"],
        kind=row["kind"],
        category=row["category"],
        body=tuple(row["body"].split()),
        status=row["status"],
        action=mark(row["action"], asked, vocabulary),
        quote=quotes[at],
        start=starts[at] if at < len(starts) else None,
        frames=tuple(read_frames(row["frames"])),
        rank=row["rank"],
        recording=row["recording_file"],
        recording_links=tuple(filter(None, row["recording_links"].split("\n"))),
        place=row["place"],
        loose=loose,
    )


def read_frames(text: str) -> Iterable[tuple[int, int]]:
    """Frame ranges as the table `notes` has them."""
    for each in text.split():
        first, _, last = each.rpartition("-")
        yield int(first), int(last)
