"""Which vocabulary an archive is indexed with: the trade's synonyms are looked up when a sheet is filed."""

from typing import TYPE_CHECKING

from sqlalchemy import Connection, insert, select, update

from critsheet.archive.tables import facts, sheets

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

_VOCABULARY = "vocabulary"


def record_vocabulary(connection: Connection, vocabulary: "Vocabulary") -> None:
    """Note the vocabulary of an archive that holds no sheet yet; later only `indexed_anew` changes it."""
    known = connection.execute(select(facts.c.value).where(facts.c.name == _VOCABULARY)).scalar_one_or_none()
    if known is None:
        connection.execute(insert(facts).values(name=_VOCABULARY, value=vocabulary.sha256))
    elif known != vocabulary.sha256 and connection.execute(select(sheets.c.id).limit(1)).first() is None:
        indexed_anew(connection, vocabulary)


def indexed_anew(connection: Connection, vocabulary: "Vocabulary") -> None:
    """Note that every sheet was indexed with this vocabulary."""
    connection.execute(update(facts).where(facts.c.name == _VOCABULARY).values(value=vocabulary.sha256))


def is_current(connection: Connection, vocabulary: "Vocabulary") -> bool:
    """Whether the archive was indexed with this vocabulary."""
    known = connection.execute(select(facts.c.value).where(facts.c.name == _VOCABULARY)).scalar_one_or_none()
    return known in (None, vocabulary.sha256)
