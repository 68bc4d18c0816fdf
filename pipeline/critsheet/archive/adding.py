"""Adds sheet files to an archive, some at a time; a damaged one never stops the others."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from critsheet.archive import filing
from critsheet.archive.filing import Outcome, Prepared
from critsheet.archive.indexing import record_vocabulary
from critsheet.archive.opening import Archive
from critsheet.errors import CritsheetError
from critsheet.sheet import load

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

AT_A_TIME = 20
"""Sheets in one transaction: fewer make each wait for the disk, more make other writers wait for us."""


@dataclass
class Added:
    """How many sheets came to what, and what was wrong with the others."""

    outcomes: Counter[Outcome] = field(default_factory=Counter)
    failed: list[tuple[Path, CritsheetError]] = field(default_factory=list)


def add(
    archive: Archive,
    paths: Sequence[Path],
    vocabulary: "Vocabulary",
    class_: str | None = None,
    tell: Callable[[float], None] | None = None,
) -> Added:
    """File the sheets in `paths`. `tell` hears the share that is done. Raises ArchiveError; what was filed stays."""
    added = Added()
    archive.write(lambda connection: record_vocabulary(connection, vocabulary))
    for start in range(0, len(paths), AT_A_TIME):
        some = _read(paths[start : start + AT_A_TIME], vocabulary, added)
        when = filing.now()

        def file_all(connection: Connection, some: list[Prepared] = some, when: str = when) -> list[Outcome]:
            return [filing.file(connection, one, class_, when) for one in some]

        added.outcomes.update(archive.write(file_all))
        if tell:
            tell(min(1.0, (start + AT_A_TIME) / len(paths)))
    return added


def _read(paths: Sequence[Path], vocabulary: "Vocabulary", added: Added) -> list[Prepared]:
    read = []
    for path in paths:
        try:
            read.append(filing.prepare(load(path), vocabulary, path))
        except CritsheetError as error:
            added.failed.append((path, error))
    return read
