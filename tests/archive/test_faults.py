"""Whatever happens to a command or its database, the archive stays sound and each sheet is in it once."""

import resource
import shutil
import signal
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from pathlib import Path
from random import Random

import pytest
from child_process import Child, as_plain_user
from invented_reviews import note, review
from postgres_server import Server
from sqlalchemy import Connection, insert, select, text

from critsheet import cli, vocabulary
from critsheet.archive import adding, filing, opening
from critsheet.archive.adding import add
from critsheet.archive.checking import check
from critsheet.archive.filing import Prepared
from critsheet.archive.listing import history, list_sheets, read_sheet
from critsheet.archive.opening import open_archive
from critsheet.archive.place import read_place
from critsheet.archive.tables import facts
from critsheet.archive.wanted import Wanted
from critsheet.errors import ArchiveError, InputError
from critsheet.sheet import Sheet, load, save
from critsheet.vocabulary import Vocabulary

PACK = vocabulary.load()
COUNT = 40
WORDS = "foot slides crate hips lead arm swing elbow breaks timing even spacing arc weight settle pose line".split()


def talk(number: int) -> Sheet:
    """A review; none is like another."""
    dice = Random(number)
    told = [note(" ".join(dice.choices(WORDS, k=6)), " ".join(dice.choices(WORDS, k=40))) for _ in range(10)]
    return review(*told, recording=f"osk-{number}", student=f"Student {number % 7}", title=f"Shot {number}")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with 40 sheets."""
    path = tmp_path_factory.mktemp("reviews")
    for number in range(COUNT):
        (path / f"{number:02}").mkdir()
        save(talk(number), path / f"{number:02}" / "sheet.json")
    return path


@pytest.fixture(scope="module")
def sheets(folder: Path) -> list[Path]:
    return sorted(folder.glob("*/sheet.json"))


@pytest.fixture(scope="module")
def ready(sheets: list[Path]) -> dict[Path, Prepared]:
    """The sheets as they will be filed: with that done before, a command does nothing but write."""
    return {path: filing.prepare(load(path), PACK, path) for path in sheets}


@pytest.fixture
def adds(sheets: list[Path], ready: dict[Path, Prepared], monkeypatch: pytest.MonkeyPatch) -> Callable[[str], int]:
    """Adds the folder two sheets at a time."""
    monkeypatch.setattr(adding, "AT_A_TIME", 2)

    def prepared(_sheet: Sheet, _vocabulary: Vocabulary, path: Path) -> Prepared:
        return ready[path]

    monkeypatch.setattr(filing, "prepare", prepared)

    def adds(place: str) -> int:
        with open_archive(place, create=True, writing=True) as archive:
            add(archive, sheets, PACK)
        return 0

    return adds


def sound(place: str) -> int:
    """How many sheets are in an archive, each whole and there once. 0 where there is none yet."""
    file = read_place(place).file
    if file is not None and (not file.exists() or not file.stat().st_size):
        return 0
    health = check(place, PACK, lambda share: None)
    assert health.sound
    with open_archive(place) as archive:
        assert len({one.title for one in list_sheets(archive, Wanted())}) == health.sheets
    return health.sheets


def complete(place: str) -> bool:
    """Whether every sheet of the folder is there, in one form, as it was."""
    with open_archive(place) as archive:
        listed = list_sheets(archive, Wanted())
        assert all(len(history(archive, one.number)) == 1 for one in listed)
        found = {read_sheet(archive, one.number).review.title: read_sheet(archive, one.number) for one in listed}
    return sound(place) == len(listed) and found == {sheet.review.title: sheet for sheet in map(talk, range(COUNT))}


def whole_run_s(place: str, adds: Callable[[str], int]) -> float:
    """Seconds that a run takes when nothing happens to it: the moments to kill it at are drawn from them."""
    begun = time.monotonic()
    assert Child(lambda: adds(place)).wait() == (0, "")
    return time.monotonic() - begun


def killed(place: str, adds: Callable[[str], int], after_s: float) -> None:
    child = Child(lambda: adds(place))
    time.sleep(after_s)
    child.kill()


def test_killed_at_any_moment_nothing_is_doubled_or_half_there(adds: Callable[[str], int], tmp_path: Path) -> None:
    whole_s, dice = whole_run_s(str(tmp_path / "first.db"), adds), Random(1)
    for archive in range(10):
        place, before = str(tmp_path / f"{archive}.db"), 0
        for _ in range(5):
            killed(place, adds, dice.uniform(0, whole_s / 2))
            now = sound(place)
            assert now >= before
            before = now
        adds(place)
        assert complete(place)


def test_killed_while_it_is_created_it_can_be_opened(tmp_path: Path) -> None:
    def creates(place: str) -> int:
        open_archive(place, create=True, writing=True).close()
        return 0

    whole_s, dice = whole_run_s(str(tmp_path / "first.db"), creates), Random(2)
    for archive in range(50):
        place = str(tmp_path / f"{archive}.db")
        killed(place, creates, dice.uniform(0, whole_s))
        with suppress(InputError):  # there is none yet
            open_archive(place).close()
        assert creates(place) == 0
        open_archive(place).close()


def test_killed_on_a_server_it_is_the_same(adds: Callable[[str], int], server: Server) -> None:
    whole_s, dice, place = whole_run_s(server.new_database(), adds), Random(1), server.new_database()
    for _ in range(5):
        killed(place, adds, dice.uniform(0, whole_s / 2))
        sound(place)
    adds(place)
    assert complete(place)


def test_two_that_add_one_folder_at_once_add_it_once(archive_place: str, adds: Callable[[str], int]) -> None:
    both = [Child(lambda: adds(archive_place)) for _ in range(2)]
    assert [child.wait() for child in both] == [(0, "")] * 2
    assert complete(archive_place)


def said(work: Callable[[], int]) -> tuple[int, str]:
    """The exit status of a command in a process of its own, and what it said."""
    return Child(work).wait()


def test_where_the_disk_is_full_nothing_is_half_written(
    adds: Callable[[str], int], folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, open_file = str(tmp_path / "archive.db"), opening._open_file

    def small(file: Path, writing: bool) -> sqlite3.Connection:
        connection = open_file(file, writing)
        connection.execute("PRAGMA max_page_count = 90")
        return connection

    with monkeypatch.context() as full:
        full.setattr(opening, "_open_file", small)
        status, line = said(lambda: cli.run(["archive", "add", str(folder), "--archive", place]))
    assert status == 9
    assert (
        line
        == f"critsheet: The disk with {place} is full; nothing was half-written. Free some space and run it again.\n"
    )
    assert 0 < sound(place) < COUNT
    adds(place)
    assert complete(place)


def test_where_the_disk_takes_no_more_bytes_it_says_so(
    adds: Callable[[str], int], folder: Path, tmp_path: Path
) -> None:
    place = str(tmp_path / "archive.db")

    def limited() -> int:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, 300_000))
        return cli.run(["archive", "add", str(folder), "--archive", place])

    status, line = said(limited)
    assert status == 9
    assert line.startswith(f"critsheet: The disk with {place} gave an error.") and line.count("\n") == 1
    assert 0 < sound(place) < COUNT
    adds(place)
    assert complete(place)


@pytest.fixture
def lent(adds: Callable[[str], int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A full archive, with a sheet beside it, in a folder that everybody may look into."""
    monkeypatch.setattr(vocabulary, "load", lambda *_: PACK)
    adds(str(tmp_path / "archive.db"))
    folder = Path(tempfile.mkdtemp(prefix="critsheet-lent-"))
    shutil.copy(tmp_path / "archive.db", folder / "archive.db")
    save(talk(1), folder / "sheet.json")
    yield folder / "archive.db"
    shutil.rmtree(folder)


@pytest.mark.parametrize(("file", "around"), [(0o444, 0o555), (0o444, 0o777), (0o666, 0o555)])
def test_an_archive_that_may_only_be_read_can_be_searched(lent: Path, file: int, around: int) -> None:
    typed = (
        ["search", "foot"],
        ["archive", "list"],
        ["archive", "check"],
        ["archive", "add", str(lent.with_name("sheet.json"))],
    )
    commands = [partial(cli.run, [*each, "--archive", str(lent)]) for each in typed]
    for command in commands[:3]:
        command()  # imports what a plain user of this computer may not read
    lent.chmod(file)
    lent.parent.chmod(around)
    told = [said(as_plain_user(command)) for command in commands]
    assert [status for status, _ in told] == [0, 0, 0, 9]
    searched, listed, checked, added = (lines for _, lines in told)
    assert "notes have this" in searched and "40 sheets." in listed
    assert "The archive is sound: 40 sheets" in checked and "was not proven" in checked
    assert added == f"critsheet: {lent} may not be written to. Ask its owner, or give another place with --archive.\n"


def test_an_archive_of_a_newer_version_is_left_alone(archive_place: str, adds: Callable[[str], int]) -> None:
    adds(archive_place)
    with open_archive(archive_place, writing=True) as archive:
        archive.write(lambda connection: connection.execute(text("INSERT INTO archive_versions VALUES (99)")))
    for writing in (False, True):
        with pytest.raises(ArchiveError, match=r"newer Critsheet \(version 99 .*Upgrade Critsheet"):
            open_archive(archive_place, writing=writing)
    with pytest.raises(ArchiveError, match="newer Critsheet"):
        check(archive_place, PACK, lambda share: None)


def other_program(path: Path) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE takings (day TEXT, cents INTEGER)")
    connection.close()


def text_file(path: Path) -> None:
    path.write_text("Plant the left foot.\n" * 400)


@pytest.mark.parametrize(
    ("made", "what"), [(other_program, "belongs to another program"), (text_file, "is no archive")]
)
def test_a_file_of_another_program_is_not_touched(made: Callable[[Path], None], what: str, tmp_path: Path) -> None:
    path = tmp_path / "other"
    made(path)
    content = path.read_bytes()
    for options in ({}, {"writing": True}, {"writing": True, "create": True}):
        with pytest.raises(ArchiveError, match=what):
            open_archive(str(path), **options)
    assert path.read_bytes() == content
    assert list(tmp_path.iterdir()) == [path]


def test_an_empty_file_is_no_archive_until_something_is_added(tmp_path: Path, adds: Callable[[str], int]) -> None:
    path = tmp_path / "archive.db"
    path.touch()
    with pytest.raises(InputError, match="no archive"):
        open_archive(str(path))
    adds(str(path))
    assert complete(str(path))


def test_a_folder_is_no_archive(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"):
        open_archive(str(tmp_path), create=True, writing=True)


def end_connection(server: Server, connection: Connection) -> None:
    """End the server's side of a connection, as a restart or a broken cable does."""
    process = connection.execute(text("SELECT pg_backend_pid()")).scalar_one()
    server.run_sql(f"SELECT pg_terminate_backend({process})")


def test_work_is_done_once_where_its_connection_is_lost_in_the_middle(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "FIRST_PAUSE_S", 0.01)
    tries: list[Connection] = []

    def work(connection: Connection) -> None:
        connection.execute(insert(facts).values(name=f"try {len(tries)}", value=""))
        tries.append(connection)
        if len(tries) < 3:
            end_connection(server, connection)
        connection.execute(insert(facts).values(name="after", value=""))

    with open_archive(server.new_database(), create=True, writing=True) as archive:
        archive.write(work)
        names = archive.read(lambda connection: set(connection.execute(select(facts.c.name)).scalars()))
    assert len(tries) == 3
    assert names == {"try 2", "after"}


def test_where_the_server_is_gone_it_says_so_and_names_no_password(
    server: Server, folder: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(opening, "FIRST_PAUSE_S", 0.01)
    place = server.new_database().replace("school@", "school:geheim@")
    with open_archive(place, create=True, writing=True) as archive:
        server.stop()
        try:
            with pytest.raises(ArchiveError, match=r"connection to postgresql://school:.*was lost") as told:
                archive.write(lambda connection: connection.execute(select(facts)))
            assert cli.run(["archive", "add", str(folder), "--archive", place]) == 9
        finally:
            server.start()
        archive.write(lambda connection: connection.execute(select(facts)))
    line = capfd.readouterr().err
    assert line.startswith("critsheet: The connection to postgresql://") and line.count("\n") == 1
    assert "geheim" not in line + str(told.value)
