"""Finds where somebody is named in what the archive holds about others: every form of every sheet is looked through."""

import json
import zlib
from collections import Counter
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, func, select

from critsheet.archive.names import KnownNames, folded
from critsheet.archive.tables import files, people, sheets, versions

Tell = Callable[[float], None]
_AT_A_TIME = 50
"""Documents in memory at once; one of an hour's talk takes a few megabytes."""
_TOLD_TWICE = frozenset({"words", "quote", "repairs", "raw"})
"""Keys whose texts repeat what the transcript says."""
_FILED_UNDER = ("class_name", "place")
"""What the archive keeps of a sheet that does not stand in the sheet."""


@dataclass(frozen=True)
class Mention:
    """A sheet that names somebody: `said` are the words, `times` how often at most in one of its forms.

    `now`: it does so as it is now, not in an earlier form alone.
    """

    number: int
    title: str
    student: str | None
    said: tuple[str, ...]
    times: int
    now: bool


@dataclass(frozen=True)
class Looked:
    """Where somebody is named, by number of sheet; the sheets that could not be read; files about others, by path.

    `everyday` are parts of their names that are words as well, and count only where they are written as names.
    """

    mentions: tuple[Mention, ...]
    damaged: tuple[int, ...]
    files: tuple[str, ...]
    everyday: tuple[str, ...]


def look_for(connection: Connection, names: KnownNames, without: Collection[int], tell: Tell) -> Looked:
    """Look through all sheets but some for people, within a transaction. `tell` hears the share that is done."""
    needles = names.needles()
    found: dict[int, tuple[Row[Any], Counter[str], bool]] = {}
    damaged: dict[int, None] = {}
    for row in _forms(connection, tell):
        if row.id in without:
            continue
        try:
            said = _said(row, names, needles)
        except (zlib.error, ValueError):
            damaged[row.id] = None
            continue
        if said:
            _, before, now = found.get(row.id, (row, Counter[str](), False))
            found[row.id] = (row, before | said, now or row.number == row.version)
    mentions = tuple(
        Mention(number, row.title, row.student, tuple(sorted(said)), said.total(), now)
        for number, (row, said, now) in sorted(found.items())
    )
    others = connection.execute(select(files.c.path).order_by(files.c.path)).scalars()
    paths = tuple(path for path in others if names.find(path))
    return Looked(mentions, tuple(damaged), paths, tuple(names.everyday()))


def _forms(connection: Connection, tell: Tell) -> Iterator[Row[Any]]:
    """Every form of every sheet with what the sheet is filed under, a few in memory at a time."""
    total = connection.execute(select(func.count()).select_from(versions)).scalar_one()
    chosen = (
        select(sheets.c.id, sheets.c.title, people.c.name.label("student"), sheets.c.version)
        .add_columns(*(sheets.c[column] for column in _FILED_UNDER), versions.c.number, versions.c.document)
        .join_from(versions, sheets, sheets.c.id == versions.c.sheet)
        .outerjoin(people, people.c.id == sheets.c.student)
        .order_by(versions.c.sheet, versions.c.number)
    )
    rows = connection.execution_options(yield_per=_AT_A_TIME).execute(chosen)
    for done, row in enumerate(rows, 1):
        yield row
        tell(done / total)


def _said(row: Row[Any], names: KnownNames, needles: set[str]) -> Counter[str]:
    """The names in one form of a sheet. Raises zlib.error, ValueError for one that is damaged."""
    content = zlib.decompress(row.document).decode()
    filed_under = [getattr(row, column) or "" for column in _FILED_UNDER]
    whole = folded("\n".join((content, *filed_under)))
    if not any(needle in whole for needle in needles):
        return Counter()
    document = json.loads(content)
    once = _named([*_texts(document, _TOLD_TWICE), *filed_under], names)
    return once or Counter(dict.fromkeys(_named(list(_texts(document)), names), 1))


def _named(texts: list[str], names: KnownNames) -> Counter[str]:
    return Counter(text[said.start : said.end] for text in texts for said in names.find(text))


def _texts(value: Any, without: Collection[str] = ()) -> Iterator[str]:
    """Every text in a JSON document, but those under some keys."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each, without)
    elif isinstance(value, dict):
        for key, each in value.items():
            if key not in without:
                yield from _texts(each, without)
