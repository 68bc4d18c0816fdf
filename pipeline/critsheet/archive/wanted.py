"""What a person narrows the archive down to: the same for the search, the list, an export and the cohort."""

from dataclasses import dataclass

from sqlalchemy import ColumnElement, Connection, select

from critsheet.archive.filing import class_term
from critsheet.archive.rows import person_key
from critsheet.archive.standing import Status
from critsheet.archive.tables import people, sheets
from critsheet.archive.terms import fact
from critsheet.errors import InputError
from critsheet.labels import BodyPart, Category


@dataclass(frozen=True)
class Wanted:
    """Each is None where it does not matter. `since` and `before` are days, 2026-01-31, in UTC."""

    student: str | None = None
    mentor: str | None = None
    class_: str | None = None
    since: str | None = None
    before: str | None = None
    category: Category | None = None
    body: BodyPart | None = None
    status: Status | None = None

    def facts(self, connection: Connection) -> list[str]:
        """The index terms of what a note must be filed under. Raises InputError for somebody the archive lacks."""
        found = [
            fact("student", person_id(connection, self.student, "student")) if self.student else "",
            fact("mentor", person_id(connection, self.mentor, "mentor")) if self.mentor else "",
            class_term(known_class(connection, self.class_)) if self.class_ else "",
            fact("category", self.category) if self.category else "",
            fact("body", self.body) if self.body else "",
        ]
        return [each for each in found if each]

    def conditions(self, connection: Connection) -> list[ColumnElement[bool]]:
        """What must hold of a row of `sheets`, as SQLAlchemy conditions; labels of notes are left out."""
        return [
            *([sheets.c.student == person_id(connection, self.student, "student")] if self.student else []),
            *([sheets.c.mentor == person_id(connection, self.mentor, "mentor")] if self.mentor else []),
            *([sheets.c.class_name == known_class(connection, self.class_)] if self.class_ else []),
            *([sheets.c.made >= self.since] if self.since else []),
            *([sheets.c.made < self.before] if self.before else []),
        ]


def person_id(connection: Connection, name: str, role: str) -> int:
    """The id of a student or mentor. Raises InputError for one that the archive does not have."""
    found = connection.execute(select(people.c.id).where(people.c.key == person_key(name))).scalar_one_or_none()
    if found is None:
        raise InputError(
            f"There is no {role} “{person_key(name) and name}” in the archive.",
            "See who is in it: critsheet archive list",
        )
    return int(found)


def known_class(connection: Connection, name: str) -> str:
    """The class as the archive writes it. Raises InputError for one that it does not have."""
    classes = connection.execute(
        select(sheets.c.class_name).where(sheets.c.class_name.is_not(None)).distinct()
    ).scalars()
    for each in classes:
        if each.casefold() == name.casefold():
            return str(each)
    raise InputError(f"There is no class “{name}” in the archive.", "See which are in it: critsheet archive list")
