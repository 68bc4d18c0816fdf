"""Writes an archive of the schema that is about to be released, for test_migrations.py: once for each version.

    .venv/bin/python tests/archive/make_released.py

writes tests/archive/released/N.sqlite.sql and N.postgresql.sql (the latter needs Debian's package postgresql), N being
the number of steps in `migrations.STEPS`: so after a new step was added, and before it is released. What is there is
never written again: these files are what the archives look like that schools have. Only while a step is not released
yet, its files may be deleted and made anew.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import postgres_server
from invented_reviews import before, note, review, ticked
from sqlalchemy import Connection, Engine, event, inspect, text

from critsheet import vocabulary
from critsheet.archive import migrations
from critsheet.archive.filing import file, prepare
from critsheet.archive.indexing import record_vocabulary
from critsheet.archive.opening import open_archive
from critsheet.archive.tables import metadata
from critsheet.sheet import FrameRange, Sheet

RELEASED = Path(__file__).with_name("released")
FOOT = note(
    "Plant the left foot",
    "the foot slides, it's on ice",
    body=("foot",),
    frames=(FrameRange(first=118, last=124),),
)
LOOK = note("Keep the look before the lift", "I love how he looks first", kind="keep", category="acting")
FIRST = review(ticked(FOOT, "2026-03-04T10:00:00Z"), LOOK, recording="osk-1", submission=1)
SECOND = review(
    note("Ease the knee out", "the knee pops at 40", category="limbs", body=("knee",)),
    recording="osk-2",
    made="2026-03-09T10:00:00Z",
    submission=2,
    previous=[FIRST.id],
    names=["Osk", "Tibby"],
    earlier=[before(FOOT, "resolved")],
)
CORRECTED = SECOND.model_copy(update={"corrected": "2026-03-10T10:00:00Z"})
SHEETS: tuple[Sheet, ...] = (FIRST, CORRECTED)
"""The sheets in each of the archives, as they are last; of the second there is an earlier form."""
_FILED = "2026-03-11T09:00:00Z"


def main() -> None:
    """Write what is missing."""
    RELEASED.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        _write("sqlite", str(Path(folder) / "archive.db"))
    if binaries := postgres_server.programs():
        with postgres_server.running(binaries) as server:
            _write("postgresql", server.new_database())


def _write(database: str, place: str) -> None:
    path = RELEASED / f"{len(migrations.STEPS)}.{database}.sql"
    if path.exists():
        raise SystemExit(f"{path} is there already; a released schema never changes.")
    path.write_text("".join(f"{one};\n" for one in _statements(place)))
    print(path)


def _statements(place: str) -> list[str]:
    created: list[str] = []

    def remember(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        if statement.strip().startswith("CREATE "):
            created.append(re.sub(r"\s+", " ", statement.strip()))

    event.listen(Engine, "before_cursor_execute", remember)
    with open_archive(place, create=True, writing=True) as archive:
        event.remove(Engine, "before_cursor_execute", remember)
        archive.write(_fill)
        return created + archive.read(lambda connection: list(_rows(connection)))


def _fill(connection: Connection) -> None:
    pack = replace(vocabulary.load(), sha256="0" * 64)
    record_vocabulary(connection, pack)
    for sheet in (FIRST, SECOND, CORRECTED):
        file(connection, prepare(sheet, pack), "Walks", _FILED)


def _rows(connection: Connection) -> Iterator[str]:
    sqlite = connection.dialect.name == "sqlite"
    tables = [table.name for table in metadata.sorted_tables]
    others = [name for name in inspect(connection).get_table_names() if name not in tables]
    for name in (*tables, *(one for one in others if not one.startswith("note_index_"))):
        columns = ("rowid, *" if sqlite else "note, terms::text AS terms") if name == "note_index" else "*"
        rows = connection.execute(text(f"SELECT {columns} FROM {name} ORDER BY 1")).all()
        for row in rows:
            values = ", ".join(_literal(value, sqlite) for value in row)
            yield f"INSERT INTO {name} ({', '.join(row._fields)}) VALUES ({values})"
        if rows and not sqlite and "id" in rows[0]._fields:
            yield f"SELECT setval(pg_get_serial_sequence('{name}', 'id'), {max(row.id for row in rows)})"


def _literal(value: object, sqlite: bool) -> str:
    if value is None:
        return "NULL"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, str):
        return "'" + value.replace("'", "''") + "'"
    content = bytes(value).hex()  # type: ignore[call-overload]
    return f"X'{content}'" if sqlite else f"'\\x{content}'"


if __name__ == "__main__":
    main()
