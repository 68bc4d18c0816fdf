"""The full-text index of the notes: FTS5 in SQLite, tsvector in PostgreSQL, with the same terms in both.

Terms are made by `terms.py`, so that neither database stems, folds or drops anything by itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, text

from critsheet.archive.query import All, Any, Node, Phrase

MOST_RANKED = 5_000
"""So many matching notes, those filed last, are put in order: a word that more notes have tells none from another."""
_WEIGHTS = {"action": 2.0, "quotes": 1.0, "concepts": 1.0, "facts": 0.0}
"""What an action says is the note's gist; facts only filter. Tried on labelled queries."""
_LETTERS = dict(zip(_WEIGHTS, "ABCD", strict=True))
_APART = 50
"""Positions between the columns of a note in PostgreSQL, so that no phrase reaches from one into the next."""
_MOST_POSITIONS = 16_383
"""PostgreSQL counts no further inside one tsvector (its manual, "Limitations" of text search)."""


@dataclass(frozen=True)
class Terms:
    """The terms of one note, in order, a column each."""

    action: Sequence[str]
    quotes: Sequence[str]
    concepts: Sequence[str]
    facts: Sequence[str]


def create(connection: Connection) -> None:
    """Create the empty index."""
    if connection.dialect.name == "sqlite":
        columns = ", ".join(_WEIGHTS)
        connection.execute(
            text(f"CREATE VIRTUAL TABLE note_index USING fts5({columns}, tokenize = \"ascii tokenchars '=~-'\")")
        )
    else:
        connection.execute(
            text(
                "CREATE TABLE note_index (note INTEGER PRIMARY KEY REFERENCES notes ON DELETE CASCADE, "
                "terms TSVECTOR NOT NULL)"
            )
        )
        connection.execute(
            text("CREATE INDEX note_index_terms ON note_index USING gin (terms) WITH (fastupdate = off)")
        )


def insert(connection: Connection, rows: Sequence[tuple[int, Terms]]) -> None:
    """Index notes by their ids."""
    if not rows:
        return
    if connection.dialect.name == "sqlite":
        connection.exec_driver_sql(
            "INSERT INTO note_index (rowid, action, quotes, concepts, facts) VALUES (?, ?, ?, ?, ?)",
            [(note, *(" ".join(getattr(terms, column)) for column in _WEIGHTS)) for note, terms in rows],
        )
    else:
        connection.execute(
            text("INSERT INTO note_index (note, terms) VALUES (:note, CAST(:terms AS tsvector))"),
            [{"note": note, "terms": _vector(terms)} for note, terms in rows],
        )


def delete(connection: Connection, sheet: int) -> None:
    """Take the notes of a sheet out of the index."""
    key = _key(connection)
    connection.execute(
        text(f"DELETE FROM note_index WHERE {key} IN (SELECT id FROM notes WHERE sheet = :sheet)"), {"sheet": sheet}
    )


def create_anew(connection: Connection) -> None:
    """Throw the index away and create an empty one."""
    connection.execute(text("DROP TABLE note_index"))
    create(connection)


def indexed(connection: Connection, sheet: int) -> set[int]:
    """The notes of a sheet that are in the index."""
    key = _key(connection)
    found = connection.execute(
        text(f"SELECT {key} FROM note_index WHERE {key} IN (SELECT id FROM notes WHERE sheet = :sheet)"),
        {"sheet": sheet},
    )
    return set(found.scalars())


def strays(connection: Connection) -> int:
    """How many notes are in the index that are nowhere else."""
    key = _key(connection)
    query = f"SELECT count(*) FROM note_index WHERE {key} NOT IN (SELECT id FROM notes)"
    return int(connection.execute(text(query)).scalar_one())


def prove(connection: Connection) -> None:
    """Have SQLite compare its index with what was indexed (FTS5, "The 'integrity-check' Command").

    It must be open for writing, although nothing is written. Raises DBAPIError where they differ.
    """
    if connection.dialect.name == "sqlite":
        connection.execute(text("INSERT INTO note_index (note_index) VALUES ('integrity-check')"))


def clean(connection: Connection) -> None:
    """Rewrite SQLite's index without what was deleted; until then its segments still hold the words."""
    if connection.dialect.name == "sqlite":
        connection.execute(text("INSERT INTO note_index (note_index) VALUES ('optimize')"))


def matching(dialect: str, wanted: Node) -> tuple[str, str, str, dict[str, object]]:
    """How to ask for the notes that match: source and condition in SQL, score (the best highest), and parameters.

    The source has the note's id as `note_index.note`.
    """
    if dialect == "sqlite":
        weights = ", ".join(str(weight) for weight in _WEIGHTS.values())
        return "note_index.rowid", "note_index MATCH :match", f"-bm25(note_index, {weights})", {"match": fts5(wanted)}
    weights = "{" + ", ".join(str(weight / 2) for weight in reversed(_WEIGHTS.values())) + "}"
    score = f"ts_rank('{weights}', terms, CAST(:match AS tsquery), 1)"
    return "note_index.note", "terms @@ CAST(:match AS tsquery)", score, {"match": tsquery(wanted)}


def fts5(node: Node) -> str:
    """The query in FTS5's language; every term stands in quotes, so that none is read as syntax."""
    match node:
        case Phrase(terms):
            return '"' + " ".join(terms) + '"'
        case Any(parts):
            return "(" + " OR ".join(map(fts5, parts)) + ")"
        case All(parts, without):
            inside = " AND ".join(map(fts5, parts))
            return f"({inside})" + "".join(f" NOT {fts5(one)}" for one in without)


def tsquery(node: Node) -> str:
    """The query in PostgreSQL's language; every term stands in quotes, so that none is read as syntax."""
    match node:
        case Phrase(terms):
            return "(" + " <-> ".join(f"'{term}'" for term in terms) + ")"
        case Any(parts):
            return "(" + " | ".join(map(tsquery, parts)) + ")"
        case All(parts, without):
            inside = " & ".join(map(tsquery, parts))
            return f"({inside}" + "".join(f" & !{tsquery(one)}" for one in without) + ")"


def _key(connection: Connection) -> str:
    return "rowid" if connection.dialect.name == "sqlite" else "note"


def _vector(terms: Terms) -> str:
    places: dict[str, list[str]] = {}
    at = 1
    for column, letter in _LETTERS.items():
        for term in getattr(terms, column):
            if at <= _MOST_POSITIONS:
                places.setdefault(term, []).append(f"{at}{letter}")
            at += 1
        at += _APART
    return " ".join(f"'{term}':{','.join(where[:255])}" for term, where in places.items())
