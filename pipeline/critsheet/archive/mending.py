"""Mends an archive from its own documents: tables, words and index are made anew, the documents stay as they are."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from sqlalchemy import Connection, delete, select, text

from critsheet.archive import filing, note_index
from critsheet.archive.adding import AT_A_TIME
from critsheet.archive.checking import Health
from critsheet.archive.indexing import indexed_anew
from critsheet.archive.listing import document, forget_unnamed
from critsheet.archive.opening import open_archive
from critsheet.archive.tables import follows, note_texts, notes, outcomes, sheets

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary


def mend(place: str | None, health: Health, vocabulary: "Vocabulary", tell: Callable[[float], None]) -> None:
    """Make anew what `health` says is hurt, of every sheet whose latest form is whole.

    Raises ArchiveError where the file is damaged so that it cannot be written into; what was mended till then stays.
    """
    unreadable = {one.number for one in health.hurt if {"lost", "current"} & set(one.faults)}
    with open_archive(place, writing=True) as archive:
        wanted = [one.number for one in health.hurt]
        if health.damage or health.index_hurt:
            archive.write(_begin_anew)
        if health.damage or health.index_hurt or health.outdated:
            wanted = archive.read(lambda connection: list(connection.execute(select(sheets.c.id)).scalars()))
        wanted = sorted(set(wanted) - unreadable)
        for start in range(0, len(wanted), AT_A_TIME):
            some = wanted[start : start + AT_A_TIME]
            archive.write(lambda connection, some=some: _make_anew(connection, some, vocabulary))  # type: ignore[misc]
            tell(min(1.0, (start + AT_A_TIME) / len(wanted)))
        archive.write(forget_unnamed)
        if health.outdated:
            archive.write(lambda connection: indexed_anew(connection, vocabulary))


def _begin_anew(connection: Connection) -> None:
    """Empty the index, and take out what belongs to nothing that is there; documents stay in any case."""
    if connection.dialect.name == "sqlite":
        connection.execute(text("REINDEX"))
    note_index.create_anew(connection)
    for table in (notes, follows, outcomes):
        connection.execute(delete(table).where(table.c.sheet.not_in(select(sheets.c.id))))
    connection.execute(delete(note_texts).where(note_texts.c.note.not_in(select(notes.c.id))))


def _make_anew(connection: Connection, numbers: Sequence[int], vocabulary: "Vocabulary") -> None:
    """What belongs to some sheets, of those that are still there."""
    for number in connection.execute(select(sheets.c.id).where(sheets.c.id.in_(numbers))).scalars().all():
        filing.refresh(connection, number, filing.prepare(document(connection, number), vocabulary))
