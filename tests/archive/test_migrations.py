"""An archive of any released schema is brought to today's with all that is in it; each step is whole or not taken."""

import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from child_process import Child
from invented_reviews import note, review
from make_released import RELEASED, SHEETS
from sqlalchemy import Connection, create_engine, text

from critsheet import vocabulary
from critsheet.archive import migrations
from critsheet.archive.adding import add
from critsheet.archive.checking import check
from critsheet.archive.listing import history, read_sheet
from critsheet.archive.mending import mend
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.place import read_place
from critsheet.archive.searching import search
from critsheet.archive.wanted import Wanted
from critsheet.errors import ArchiveError
from critsheet.sheet import save

PACK = vocabulary.load()
_SQLITE = (
    "SELECT name, sql FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL ORDER BY name",
    'SELECT t.name, c.name, c.type, c."notnull", c.dflt_value, c.pk FROM sqlite_schema t, pragma_table_xinfo(t.name) c '
    "WHERE t.type = 'table' ORDER BY t.name, c.name",
    'SELECT t.name, f."table", f."from", f."to", f.on_delete FROM sqlite_schema t, pragma_foreign_key_list(t.name) f '
    "WHERE t.type = 'table' ORDER BY t.name, f.\"from\"",
    'SELECT t.name, i."unique", i.origin, (SELECT group_concat(name) FROM pragma_index_info(i.name)) '
    "FROM sqlite_schema t, pragma_index_list(t.name) i WHERE t.type = 'table' ORDER BY 1, 2, 3, 4",
    "SELECT sql FROM sqlite_schema WHERE name = 'note_index'",
    "SELECT name, sql LIKE '%AUTOINCREMENT%' FROM sqlite_schema WHERE type = 'table' ORDER BY name",
)
_POSTGRESQL = (
    "SELECT table_name, column_name, data_type, is_nullable, column_default, is_identity "
    "FROM information_schema.columns WHERE table_schema = 'public' ORDER BY 1, 2",
    "SELECT indexname, indexdef FROM pg_indexes WHERE schemaname = 'public' ORDER BY 1",
    "SELECT conrelid::regclass::text, pg_get_constraintdef(oid) FROM pg_constraint "
    "WHERE connamespace = 'public'::regnamespace ORDER BY 1, 2",
)


def schema(place: str) -> list[list[tuple[object, ...]]]:
    """Tables, columns, indexes and keys, in an order of their own."""
    with open_archive(place) as archive:
        queries = _SQLITE if archive.file else _POSTGRESQL
        return archive.read(lambda connection: [[tuple(r) for r in connection.execute(text(q))] for q in queries])


def load_released(version: int, place: str) -> None:
    """Make an archive as a released Critsheet left it."""
    where = read_place(place)
    if where.file is not None:
        connection = sqlite3.connect(where.file)
        with connection:
            connection.executescript((RELEASED / f"{version}.sqlite.sql").read_text())
        connection.close()
        return
    assert where.url is not None
    engine = create_engine(where.url)
    with engine.begin() as opened:
        opened.connection.driver_connection.execute((RELEASED / f"{version}.postgresql.sql").read_text())  # type: ignore[union-attr]
    engine.dispose()


@pytest.fixture
def new_place(archive_place: str, request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a second archive of the same kind may be made."""
    if "://" in archive_place:
        return str(request.getfixturevalue("server").new_database())
    return str(tmp_path / "new.db")


every_released = pytest.mark.parametrize("version", range(1, len(migrations.STEPS) + 1))


@every_released
def test_it_gets_the_tables_of_a_new_one(archive_place: str, new_place: str, version: int) -> None:
    """A schema is released with an archive of it: where this finds none, run tests/archive/make_released.py."""
    load_released(version, archive_place)
    open_archive(new_place, create=True).close()
    assert schema(archive_place) == schema(new_place)


@every_released
def test_it_keeps_its_sheets_and_finds_their_notes(archive_place: str, version: int) -> None:
    load_released(version, archive_place)
    with open_archive(archive_place) as archive:
        assert [read_sheet(archive, number) for number in (1, 2)] == list(SHEETS)
        assert [one.current for one in history(archive, 2)] == [False, True]
        found = {typed: found_by(archive, typed) for typed in ("foot slides", '"the knee pops"', "look lift")}
        assert found == {
            "foot slides": [("Plant the left foot", "solved")],
            '"the knee pops"': [("Ease the knee out", "open")],
            "look lift": [("Keep the look before the lift", "praise")],
        }
    health = check(archive_place, PACK, lambda share: None)
    assert health.sound and health.outdated


def found_by(archive: Archive, typed: str) -> list[tuple[str, str]]:
    hits = search(archive, typed, Wanted(class_="Walks", student="Tamsin Okoro"), PACK).hits
    return [(hit.action.text, hit.status) for hit in hits]


@every_released
def test_it_takes_new_sheets_and_new_words(archive_place: str, tmp_path: Path, version: int) -> None:
    load_released(version, archive_place)
    save(review(note("Lift the chin"), recording="osk-3"), tmp_path / "sheet.json")
    with open_archive(archive_place, writing=True) as archive:
        assert add(archive, [tmp_path / "sheet.json"], PACK).outcomes["added"] == 1
    mend(archive_place, check(archive_place, PACK, lambda share: None), PACK, lambda share: None)
    health = check(archive_place, PACK, lambda share: None)
    assert health.sound and not health.outdated and health.sheets == 3


def _fails_in_the_database(connection: Connection) -> None:
    connection.execute(text("CREATE TABLE halls (id INTEGER)"))
    connection.execute(text("UPDATE sheets SET title = 'lost'"))
    connection.execute(text("ALTER TABLE nowhere ADD COLUMN hall INTEGER"))


def _fails_by_itself(connection: Connection) -> None:
    connection.execute(text("CREATE TABLE halls (id INTEGER)"))
    raise ArchiveError("No.")


@pytest.mark.parametrize("step", [_fails_in_the_database, _fails_by_itself])
def test_a_step_that_fails_leaves_the_archive_as_it_was(
    archive_place: str, monkeypatch: pytest.MonkeyPatch, step: Callable[[Connection], None]
) -> None:
    load_released(1, archive_place)
    before = schema(archive_place)
    with monkeypatch.context() as newer:
        newer.setattr(migrations, "STEPS", (*migrations.STEPS[:1], step))
        for writing in (False, True):
            with pytest.raises(ArchiveError):
                open_archive(archive_place, writing=writing)
    assert schema(archive_place) == before
    assert versions(archive_place) == [1]
    with open_archive(archive_place) as archive:
        assert read_sheet(archive, 1) == SHEETS[0]


def versions(place: str) -> list[int]:
    with open_archive(place) as archive:
        return archive.read(
            lambda connection: list(
                connection.execute(text("SELECT version FROM archive_versions ORDER BY version")).scalars()
            )
        )


def slow_step(number: int) -> Callable[[Connection], None]:
    """A step that cannot be taken twice, and gives others time to come in between."""

    def step(connection: Connection) -> None:
        connection.execute(text(f"CREATE TABLE step_{number} (id INTEGER)"))
        time.sleep(0.05)

    return step


@pytest.mark.parametrize("released", [True, False], ids=["older", "new"])
def test_several_that_open_it_at_once_take_each_step_once(
    archive_place: str, monkeypatch: pytest.MonkeyPatch, released: bool
) -> None:
    if released:
        load_released(1, archive_place)
    monkeypatch.setattr(migrations, "STEPS", (*migrations.STEPS[:1], *(slow_step(number) for number in (2, 3, 4))))

    def opens() -> int:
        open_archive(archive_place, create=True).close()
        return 0

    openers = [Child(opens) for _ in range(4)]
    assert [child.wait() for child in openers] == [(0, "")] * 4
    assert versions(archive_place) == [1, 2, 3, 4]
