"""What an archive holds about somebody: as a student, as a mentor, or merely named by others."""

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlalchemy import Connection, select

from critsheet.archive import listing, mentions
from critsheet.archive.listing import Filed
from critsheet.archive.mentions import Looked
from critsheet.archive.names import KnownNames, shared_parts
from critsheet.archive.rows import person_key
from critsheet.archive.tables import notes, people, sheets
from critsheet.archive.wanted import Wanted
from critsheet.archive.written_files import Written, written_about

if TYPE_CHECKING:
    from critsheet.archive.opening import Archive

HELD = (
    "name, class, titles and dates; what the mentor said, word for word, with its times; the notes, ticks and comments "
    "that came of it; of recording and shot the file name, its hash and the folder of the sheet"
)
NOT_HELD = "the voice, the pictures, the recording itself"


@dataclass(frozen=True)
class Holding:
    """A sheet that somebody is a student or mentor of. `filed` is when; `notes` counts its notes by how they stand."""

    sheet: Filed
    filed: str
    notes: dict[str, int]


@dataclass(frozen=True)
class About:
    """Everything that is held about somebody.

    `not_alone` are parts of the name that others bear too, and who: by themselves they were not looked for.
    """

    name: str
    as_student: tuple[Holding, ...]
    as_mentor: tuple[Holding, ...]
    named: Looked
    not_alone: dict[str, tuple[str, ...]]
    written: tuple[Written, ...]


def about(archive: "Archive", name: str, tell: Callable[[float], None]) -> About:
    """Look everything up. `tell` hears the share that is done."""
    everybody = archive.read(lambda connection: connection.execute(select(people).order_by(people.c.id)).all())
    known = next((row for row in everybody if row.key == person_key(name)), None)
    shared = shared_parts(name, [row.name for row in everybody if row != known])
    as_student = _holdings(archive, Wanted(student=known.name)) if known else ()
    as_mentor = _holdings(archive, Wanted(mentor=known.name)) if known else ()
    own = {each.sheet.number for each in (*as_student, *as_mentor)}
    names = KnownNames({0: name}, shared)
    return About(
        name=known.name if known else name,
        as_student=as_student,
        as_mentor=as_mentor,
        named=archive.read(lambda connection: mentions.look_for(connection, names, own, tell)),
        not_alone=shared,
        written=tuple(archive.read(lambda connection: written_about(connection, [known.id]))) if known else (),
    )


def _holdings(archive: "Archive", wanted: Wanted) -> tuple[Holding, ...]:
    def work(connection: Connection) -> tuple[dict[int, str], dict[int, Counter[str]]]:
        chosen = select(sheets.c.id).where(*wanted.conditions(connection))
        filed = connection.execute(select(sheets.c.id, sheets.c.filed).where(sheets.c.id.in_(chosen)))
        standing: dict[int, Counter[str]] = defaultdict(Counter)
        for row in connection.execute(select(notes.c.sheet, notes.c.status).where(notes.c.sheet.in_(chosen))):
            standing[row.sheet][row.status] += 1
        return {row.id: row.filed for row in filed}, standing

    filed, standing = archive.read(work)
    found = listing.list_sheets(archive, wanted)
    return tuple(Holding(each, filed[each.number], dict(standing[each.number])) for each in found)
