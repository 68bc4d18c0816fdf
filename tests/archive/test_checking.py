"""An archive is damaged for real: the check says what is hurt, and what can be read is saved; the rest is mended."""

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from invented_reviews import note, review
from postgres_server import Server
from sqlalchemy import text

from critsheet import vocabulary
from critsheet.archive.checking import Health, check
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.indexing import record_vocabulary
from critsheet.archive.listing import list_sheets, remove
from critsheet.archive.mending import mend
from critsheet.archive.opening import open_archive
from critsheet.archive.saving import Saved, save_all
from critsheet.archive.searching import search
from critsheet.archive.sheets_in import sheets_in
from critsheet.archive.wanted import Wanted
from critsheet.errors import OutputError
from critsheet.sheet import Segment, Sheet, Transcript, load
from critsheet.vocabulary import Vocabulary

PACK = vocabulary.load()
COUNT = 40
PAGE = 4096
ROWS = 4
"""Rows with documents on a page, most of each in pages of its own: so many sheets can be hurt with one page."""
WORDS = """
foot slides crate hips lead arm swing elbow breaks timing even spacing arc weight settle pose line action
silhouette read look eyes blink head turn shoulder chest frame hold ease anticipate drag tail overlap knee pop
""".split()


def talk(number: int, *, corrected: bool = False) -> Sheet:
    """A review that takes several pages of a database, as a real one does."""
    dice = Random(number)

    def words(count: int) -> str:
        return " ".join(f"{dice.choice(WORDS)} {dice.randrange(1000)}" for _ in range(count))

    told = [note(f"Fix {words(4)}", words(6)) for _ in range(12)]
    said = tuple(Segment(start=at, end=at + 1, text=words(60), words=()) for at in range(12))
    when = f"2026-03-{number % 28 + 1:02}T10:00:00Z"
    again = {"corrected": "2026-05-01T10:00:00Z", "title": f"Corrected {number}"} if corrected else {}
    about = {"title": f"Shot {number}", "student": f"Student {number % 7}", "made": when, **again}
    sheet = review(*told, recording=f"osk-{number}", **about)
    return sheet.model_copy(update={"transcript": Transcript(language="en", segments=said)})


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, dict[int, Sheet]]:
    """An archive of 40 sheets as bytes, and its sheets by number; every fourth was corrected once."""
    path = tmp_path_factory.mktemp("whole") / "archive.db"
    reviews = [talk(number) for number in range(1, COUNT + 1)]
    reviews += [talk(number, corrected=True) for number in range(4, COUNT + 1, 4)]
    fill(str(path), *reviews)
    last = {int(sheet.review.recording.file[4:-4]): sheet for sheet in reviews}
    return path.read_bytes(), last


def fill(place: str, *reviews: Sheet) -> None:
    prepared = [prepare(sheet, PACK) for sheet in reviews]
    with open_archive(place, create=True, writing=True) as archive:
        archive.write(lambda connection: [file(connection, one, "Walks / spring", now()) for one in prepared])


def looked(place: Path | str) -> Health:
    return check(str(place), PACK, lambda share: None)


def saved(place: Path | str, folder: Path) -> tuple[Saved, dict[int, Sheet]]:
    """What was saved, and the sheets in the files by their numbers."""
    told = save_all(str(place), folder, lambda share: None)
    files = sheets_in([folder]) if folder.exists() else []
    return told, {int(path.parent.name): load(path) for path in files}


def root_page(path: Path, table: str) -> int:
    with sqlite3.connect(path) as connection:
        found = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = ?", (table,)).fetchone()
    connection.close()
    return int(found[0])


def overwrite(path: Path, start: int, content: bytes) -> None:
    with path.open("r+b") as opened:
        opened.seek(start)
        opened.write(content)


def page_is_lost(path: Path, page: int) -> None:
    overwrite(path, (page - 1) * PAGE, Random(page).randbytes(PAGE))


def document_is_hurt(path: Path, number: int, version: int) -> None:
    """Turn a few bytes in the middle of a stored document."""
    with sqlite3.connect(path) as connection:
        chosen = "SELECT document FROM versions WHERE sheet = ? AND number = ?"
        document = connection.execute(chosen, (number, version)).fetchone()[0]
    connection.close()
    piece = document[1500:1540]
    at = path.read_bytes().index(piece)
    overwrite(path, at, bytes(255 - byte for byte in piece))


@pytest.fixture
def archive(whole: tuple[bytes, dict[int, Sheet]], tmp_path: Path) -> Path:
    path = tmp_path / "archive.db"
    path.write_bytes(whole[0])
    return path


@pytest.fixture
def sheets(whole: tuple[bytes, dict[int, Sheet]]) -> dict[int, Sheet]:
    return whole[1]


def test_a_sound_archive_is_sound_and_can_be_written_out(
    archive: Path, sheets: dict[int, Sheet], tmp_path: Path
) -> None:
    assert looked(archive) == Health(COUNT, (), (), index_hurt=False, outdated=False)
    told, files = saved(archive, tmp_path / "out")
    assert files == sheets and told.whole == tuple(sheets)
    assert (tmp_path / "out" / "Walks _ spring" / "1" / "sheet.json").is_file()


def header(path: Path) -> None:
    overwrite(path, 0, bytes(100))


def first_page(path: Path) -> None:
    overwrite(path, 0, bytes(PAGE))


@pytest.mark.parametrize("damage", [header, first_page])
def test_a_file_that_cannot_be_opened_is_saved(
    archive: Path, sheets: dict[int, Sheet], tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    damage(archive)
    assert not looked(archive).sound
    told, files = saved(archive, tmp_path / "out")
    assert files == sheets and len(told.found) == COUNT


@pytest.mark.parametrize(
    "table",
    """archive_versions people sheets versions notes facts sqlite_autoindex_versions_1 sheets_recording
    note_index_data note_index_idx note_index_content""".split(),
)
def test_where_no_document_is_hit_every_sheet_is_saved(
    archive: Path, sheets: dict[int, Sheet], tmp_path: Path, table: str
) -> None:
    page_is_lost(archive, root_page(archive, table))
    assert not looked(archive).sound
    told, files = saved(archive, tmp_path / "out")
    assert files == sheets and not told.lost and not told.earlier


@pytest.mark.parametrize("seed", range(6))
def test_pages_lost_anywhere_cost_no_more_than_what_stood_on_them(
    archive: Path, sheets: dict[int, Sheet], tmp_path: Path, seed: int
) -> None:
    dice = Random(seed)
    for page in dice.sample(range(2, archive.stat().st_size // PAGE), 5):
        page_is_lost(archive, page)
    assert not looked(archive).sound
    told, files = saved(archive, tmp_path / "out")
    assert all(files[number] == sheets[number] for number in told.whole)
    assert len(told.whole) >= COUNT - 5 * ROWS


@pytest.mark.parametrize("seed", range(6))
def test_bytes_turned_anywhere(archive: Path, sheets: dict[int, Sheet], tmp_path: Path, seed: int) -> None:
    dice = Random(seed)
    for _ in range(20):
        overwrite(archive, dice.randrange(PAGE, archive.stat().st_size), dice.randbytes(1))
    assert not looked(archive).sound
    told, files = saved(archive, tmp_path / "out")
    assert all(files[number] == sheets[number] for number in told.whole)
    assert len(told.whole) >= COUNT - 20


def test_what_lies_in_the_first_half_of_a_file_cut_off_is_saved(
    archive: Path, sheets: dict[int, Sheet], tmp_path: Path
) -> None:
    content = archive.read_bytes()
    archive.write_bytes(content[: len(content) // 2])
    assert not looked(archive).sound
    told, files = saved(archive, tmp_path / "out")
    assert len(told.found) > COUNT // 4 and not told.whole
    assert all(files[number] in (sheets[number], talk(number)) for number in told.found)


def test_a_sheet_that_is_hurt_is_named_and_saved_in_its_earlier_form(
    archive: Path, sheets: dict[int, Sheet], tmp_path: Path
) -> None:
    document_is_hurt(archive, 8, version=2)
    document_is_hurt(archive, 9, version=1)
    document_is_hurt(archive, 12, version=1)
    assert [(one.number, one.title, one.student, one.faults) for one in looked(archive).hurt] == [
        (8, "Shot 8", "Student 1", ("current",)),
        (9, "Shot 9", "Student 2", ("lost",)),
        (12, "Corrected 12", "Student 5", ("earlier",)),
    ]
    told, files = saved(archive, tmp_path / "out")
    assert (told.earlier, told.lost) == ((8,), (9,))
    assert files[8] == talk(8) and files[12] == sheets[12]


def test_what_was_saved_is_never_mixed_with_other_files(archive: Path, tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "mine.txt").touch()
    with pytest.raises(OutputError, match="not an empty folder"):
        saved(archive, tmp_path / "out")


def test_what_was_never_closed_is_saved_from_the_log(sheets: dict[int, Sheet], tmp_path: Path) -> None:
    """Where a command was killed, what it filed last lies beside the file."""
    at_work = tmp_path / "work" / "archive.db"
    at_work.parent.mkdir()
    fill(str(at_work), talk(1))
    with open_archive(str(at_work), writing=True) as archive:
        archive.write(lambda connection: file(connection, prepare(talk(2), PACK), None, now()))
        for end in ("", "-wal"):
            (tmp_path / f"archive.db{end}").write_bytes(at_work.with_name(f"archive.db{end}").read_bytes())
    header(tmp_path / "archive.db")
    _, files = saved(tmp_path / "archive.db", tmp_path / "out")
    assert files == {1: talk(1), 2: talk(2)}


def test_what_was_removed_is_never_brought_back(archive: Path, tmp_path: Path) -> None:
    with open_archive(str(archive), writing=True) as opened:
        remove(opened, range(1, COUNT))
    header(archive)
    _, files = saved(archive, tmp_path / "out")
    assert list(files) == [COUNT]


def mended(place: Path | str, vocabulary: Vocabulary = PACK) -> Health:
    mend(str(place), looked(place), vocabulary, lambda share: None)
    return looked(place)


def searched(place: Path | str, typed: str) -> list[int]:
    with open_archive(str(place)) as opened:
        return sorted({hit.number for hit in search(opened, typed, Wanted(), PACK, 1000).hits})


CHANGES = (
    "UPDATE sheets SET title = 'Shpt 3' WHERE id = 3",
    "UPDATE people SET name = 'Stu\x07ent', key = 'stu\x07ent' WHERE key = 'student 3'",
    "UPDATE notes SET category = 'arcs' WHERE sheet = 3 AND note = 'n2'",
    "UPDATE notes SET status = 'opem' WHERE sheet = 3 AND note = 'n2'",
    "DELETE FROM notes WHERE sheet = 3",
    "INSERT INTO notes SELECT 9999, 3, 'n99', kind, category, body, subject, strength, followup, rank, frames, "
    "starts, done_at, status, closed FROM notes WHERE sheet = 3 AND note = 'n1'",
    "DELETE FROM note_texts WHERE note = (SELECT min(id) FROM notes WHERE sheet = 3)",
    "UPDATE note_texts SET quotes = 'nothing' WHERE note = (SELECT min(id) FROM notes WHERE sheet = 3)",
    "INSERT INTO follows VALUES (3, 's-osk-1')",
    "INSERT INTO outcomes VALUES (3, 0, 'Plant the foot', 'resolved')",
    "DELETE FROM note_index WHERE {key} = (SELECT min(id) FROM notes WHERE sheet = 3)",
)


@pytest.mark.parametrize("change", CHANGES)
def test_what_differs_from_its_sheet_is_found_and_mended(archive_place: str, change: str) -> None:
    fill(archive_place, *(talk(number) for number in range(1, 5)))
    with open_archive(archive_place, writing=True) as archive:
        key = "rowid" if archive.file else "note"
        archive.write(lambda connection: connection.execute(text(change.format(key=key))))
    assert [one.faults for one in looked(archive_place).hurt if one.number == 3] == [("tables",)]
    assert mended(archive_place).sound
    assert searched(archive_place, f'"{talk(3).notes[0].action}"') == [3]
    with open_archive(archive_place) as archive:
        assert [one.class_ for one in list_sheets(archive, Wanted(student="Student 3"))] == ["Walks / spring"]


@pytest.mark.parametrize("table", ["note_index_data", "note_index_content", "note_index_docsize"])
def test_an_index_that_is_lost_is_made_anew(archive: Path, table: str) -> None:
    with sqlite3.connect(archive) as connection:
        connection.execute(f"DELETE FROM {table} WHERE rowid % 3 = 2")
    connection.close()
    assert looked(archive).index_hurt
    assert mended(archive).sound
    assert searched(archive, f'"{talk(3).notes[0].action}"') == [3]


def test_what_cannot_be_mended_stays_and_is_told(archive: Path) -> None:
    document_is_hurt(archive, 9, version=1)
    with sqlite3.connect(archive) as connection:
        connection.execute("DELETE FROM note_texts WHERE note % 2")
    connection.close()
    assert [(one.number, one.faults) for one in mended(archive).hurt] == [(9, ("lost",))]


def test_a_document_on_a_server_is_proven_too(server: Server) -> None:
    place = server.new_database()
    fill(place, *(talk(number) for number in range(1, 5)))
    with open_archive(place, writing=True) as archive:
        broken = "UPDATE versions SET document = substring(document FROM 1 FOR 900) WHERE sheet = 2"
        archive.write(lambda connection: connection.execute(text(broken)))
    assert [(one.number, one.faults) for one in looked(place).hurt] == [(2, ("lost",))]


def test_with_a_new_vocabulary_it_is_sound_and_can_be_brought_up_to_date(archive_place: str) -> None:
    fill(archive_place, talk(1))
    with open_archive(archive_place, writing=True) as archive:
        archive.write(lambda connection: record_vocabulary(connection, replace(PACK, sha256="of old")))
    health = looked(archive_place)
    assert health.sound and health.outdated
    assert not mended(archive_place).outdated


def test_while_others_add_it_is_sound_at_every_moment(archive_place: str) -> None:
    fill(archive_place, talk(1))

    def also_add(share: float) -> None:
        number = also_add.calls = also_add.calls + 1  # type: ignore[attr-defined]
        fill(archive_place, talk(1, corrected=True) if number == 1 else talk(number))

    also_add.calls = 0  # type: ignore[attr-defined]
    assert check(archive_place, PACK, also_add).sound
