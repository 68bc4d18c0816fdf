"""How a note stands: still to be done, ticked, solved, or asked for again, by all that the archive knows.

A student's tick stands on the sheet itself. What the mentor says of it later stands on the sheets of later
submissions, which may be filed before or after it.
"""

from collections.abc import Iterable
from typing import Literal

from sqlalchemy import Connection, case, select, update

from critsheet.archive.tables import follows, note_texts, notes, outcomes, sheets

Status = Literal["open", "done", "solved", "again", "praise"]
"""`done`: ticked by the student. `solved`: the mentor says so later. `again`: asked for anew later, where it stands on.
`praise`: nothing is asked for."""
OPEN, DONE, SOLVED, AGAIN, PRAISE = "open", "done", "solved", "again", "praise"
_SAID = {"resolved": SOLVED, "repeated": AGAIN}
_MOST_SUBMISSIONS = 200


def predecessors(connection: Connection, sheet: int) -> list[int]:
    """The sheets of the submissions before, as far as they are filed, and of those before them."""
    found: dict[int, None] = {}
    asked = [sheet]
    while asked and len(found) < _MOST_SUBMISSIONS:
        step = connection.execute(
            select(sheets.c.id)
            .join(follows, follows.c.previous == sheets.c.sheet_id)
            .where(follows.c.sheet.in_(asked), sheets.c.id != sheet)
            .order_by(sheets.c.id)
        ).scalars()
        asked = [each for each in step if each not in found]
        found |= dict.fromkeys(asked)
    return list(found)


def settle(connection: Connection, filed: Iterable[int]) -> None:
    """Work out anew how the notes of some sheets stand."""
    for sheet in dict.fromkeys(filed):
        own = case(
            (notes.c.kind == "keep", PRAISE),
            (notes.c.followup == "resolved", SOLVED),
            (notes.c.done_at.is_not(None), DONE),
            else_=OPEN,
        )
        made = select(sheets.c.made).where(sheets.c.id == sheet).scalar_subquery()
        closed = case((notes.c.kind == "keep", None), (notes.c.followup == "resolved", made), else_=notes.c.done_at)
        connection.execute(update(notes).where(notes.c.sheet == sheet).values(status=own, closed=closed))
        for later, when in _successors(connection, sheet):
            _take_in(connection, sheet, later, when)


def _successors(connection: Connection, sheet: int) -> list[tuple[int, str]]:
    """The sheets of later submissions, in order of time."""
    found: dict[int, str] = {}
    asked = [sheet]
    while asked and len(found) < _MOST_SUBMISSIONS:
        ids = select(sheets.c.sheet_id).where(sheets.c.id.in_(asked))
        step = connection.execute(
            select(sheets.c.id, sheets.c.made)
            .join(follows, follows.c.sheet == sheets.c.id)
            .where(follows.c.previous.in_(ids), sheets.c.id != sheet)
        ).all()
        asked = [each.id for each in step if each.id not in found]
        found |= {each.id: each.made for each in step}
    return sorted(found.items(), key=lambda one: (one[1], one[0]))


def _take_in(connection: Connection, sheet: int, later: int, when: str) -> None:
    """What a later sheet says of the notes of this one, which it names by their wording."""
    said = connection.execute(
        select(notes.c.id, outcomes.c.outcome)
        .join(note_texts, note_texts.c.note == notes.c.id)
        .join(outcomes, outcomes.c.action == note_texts.c.action)
        .where(notes.c.sheet == sheet, outcomes.c.sheet == later, notes.c.kind != "keep")
        .where(outcomes.c.outcome.in_(list(_SAID)))
    ).all()
    for note, outcome in said:
        values = {"status": _SAID[outcome], "closed": when}
        connection.execute(update(notes).where(notes.c.id == note, notes.c.status != AGAIN).values(values))
