"""A batch on the command line: every recording is made once, and a bad one never stops the others."""

import csv
import errno
import hashlib
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock
from invented_talk import TALK

from critsheet.errors import OutputError
from critsheet.sheet import load

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def talks(workplace: Path) -> Path:
    for name in ("week1/osk.vtt", "week1/bo.vtt", "week2/osk.vtt"):
        path = workplace / "talks" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(TALK.replace("142", str(len(name) + ord(name[4]) + ord(name[6]))))
    return workplace / "talks"


def table() -> list[dict[str, str]]:
    return list(csv.DictReader(Path("out/batch.csv").read_text("utf-8-sig").splitlines()))


def test_every_recording_becomes_a_sheet(critsheet: Run, talks: Path) -> None:
    status, shown, said = critsheet("batch", talks, "--out", "out")
    assert status == 0
    assert {path.parent.relative_to("out").as_posix() for path in Path("out").rglob("sheet.html")} == {
        "week1/osk",
        "week1/bo",
        "week2/osk",
    }
    assert "2 notes" in shown and "3 recordings: 3 made." in said
    assert [row["Result"] for row in table()] == ["made"] * 3


def test_what_is_made_is_passed_over(critsheet: Run, talks: Path) -> None:
    critsheet("batch", talks, "--out", "out")
    before = Path("out/week1/osk/sheet.json").stat().st_mtime_ns
    assert "3 already there" in critsheet("batch", talks, "--out", "out")[2]
    assert Path("out/week1/osk/sheet.json").stat().st_mtime_ns == before


def test_the_result_may_lie_within_the_folder(critsheet: Run, talks: Path) -> None:
    critsheet("batch", talks, "--out", talks / "sheets")
    assert "3 already there" in critsheet("batch", talks, "--out", talks / "sheets")[2]


def test_a_bad_file_never_stops_the_others(critsheet: Run, talks: Path) -> None:
    (talks / "a.mp4").write_text("not a film")
    (talks / "b.wav").touch()
    status, shown, said = critsheet("batch", talks, "--out", "out")
    assert status == 1
    assert "is text, not a recording" in shown.replace("\n", " ")
    assert "3 made" in said and "2 failed" in said
    assert [row["Result"] for row in table()].count("failed") == 2


def test_quietly_only_failures_are_told(critsheet: Run, talks: Path) -> None:
    assert critsheet("batch", talks, "--out", "out", "--quiet") == (0, "", "")


def test_a_changed_recording_does_not_overwrite_its_sheet(critsheet: Run, talks: Path) -> None:
    critsheet("batch", talks, "--out", "out")
    (talks / "week1/osk.vtt").write_text(TALK.replace("142", "150"))
    status, shown, _ = critsheet("batch", talks, "--out", "out")
    assert status == 1 and "another recording" in shown.replace("\n", " ")


def test_the_names_file_says_whose_it_is(critsheet: Run, talks: Path) -> None:
    Path("names.csv").write_text(
        "file,student,mentor,shot,submission\nweek2/osk.vtt,Tamsin Okoro,Hal Orsini,Osk lifts,2\n"
    )
    critsheet("batch", talks, "--out", "out", "--names", "names.csv")
    review = load(Path("out/week2/osk/sheet.json")).review
    assert (review.student, review.title, review.submission) == ("Tamsin Okoro", "Osk lifts", 2)
    assert load(Path("out/week1/osk/sheet.json")).review.student is None


def test_a_submission_is_told_what_was_asked_before(critsheet: Run, talks: Path) -> None:
    rows = ("week2/osk.vtt,Tamsin Okoro,Osk lifts,2", "week1/osk.vtt,Tamsin Okoro,Osk lifts,1")
    Path("names.csv").write_text("\n".join(("file,student,shot,submission", *rows)))
    critsheet("batch", talks, "--out", "out", "--names", "names.csv")
    first, second = (load(Path(f"out/{week}/osk/sheet.json")) for week in ("week1", "week2"))
    assert not first.earlier
    assert [one.action for one in second.earlier] == [note.action for note in first.notes]


def test_rows_without_a_recording_are_told(critsheet: Run, talks: Path) -> None:
    Path("names.csv").write_text("file,student\nlost.mp4,Tamsin Okoro\n")
    said = critsheet("batch", talks, "--out", "out", "--names", "names.csv")[2]
    assert said.splitlines()[-2] == "The names file names what is not there: lost.mp4."


def test_a_full_disk_is_told_and_the_rest_is_made_later(
    critsheet: Run, talks: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr("critsheet.render.folder._write_through", full)
        status, shown, _ = critsheet("batch", talks, "--out", "out")
        assert status == 1 and "No space left on device" in shown.replace("\n", " ")
        assert not list(Path("out").rglob("sheet.json")) and not list(Path("out").rglob(".critsheet-*"))
    assert critsheet("batch", talks, "--out", "out")[0] == 0


def test_what_a_killed_batch_left_is_cleared_away(critsheet: Run, talks: Path) -> None:
    left = Path("out/week1/.critsheet-left/new")
    left.mkdir(parents=True)
    critsheet("batch", talks, "--out", "out")
    assert not left.exists()


def test_a_table_program_calculates_nothing(critsheet: Run, talks: Path) -> None:
    (talks / "=1+1.vtt").write_text(TALK)
    critsheet("batch", talks, "--out", "out")
    assert table()[0]["Recording"] == "'=1+1.vtt"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["--workers", "2", "--cluster", "tcp://host:8786"], "Give one of them"),
        (["--fps", "fast"], "no frame rate"),
        (["--names", "none.csv"], "none.csv"),
        (["--sheet-language", "xx"], "xx"),
        (["--vocab", "nowhere"], "nowhere"),
    ],
)
def test_a_mistake_is_told_before_any_work(critsheet: Run, talks: Path, typed: list[str], said: str) -> None:
    status, shown, complaint = critsheet("batch", talks, "--out", "out", *typed)
    assert status != 0 and said in complaint and complaint.count("\n") == 1 and not shown
    assert not list(Path("out").rglob("sheet.json"))


def test_an_empty_folder_is_no_mistake(critsheet: Run, workplace: Path) -> None:
    (workplace / "empty").mkdir()
    status, _, said = critsheet("batch", "empty", "--out", "out")
    assert status == 0 and "There is no recording in it." in said


def test_a_folder_that_cannot_be_read_fails_by_itself(
    critsheet: Run, talks: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    listed = os.scandir

    def refusing(path: str) -> object:
        if str(path).endswith("week1"):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), path)
        return listed(path)

    with monkeypatch.context() as patch:
        patch.setattr(os, "scandir", refusing)
        status, shown, said = critsheet("batch", talks, "--out", "out")
    assert status == 1 and "1 failed, 1 made" in said and "Cannot read the folder" in shown.replace("\n", " ")
    assert [row["Recording"] for row in table()] == ["week1", "week2/osk.vtt"]


def test_a_table_that_cannot_be_written_is_shown_nevertheless(
    critsheet: Run, talks: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, data: str) -> None:
        raise OutputError(f"Cannot write {path}: No space left on device.", "Free some space.")

    monkeypatch.setattr("critsheet.sheet.write_whole", full)
    status, shown, complaint = critsheet("batch", talks, "--out", "out")
    assert status == OutputError.exit_status and "week2/osk.vtt" in shown
    assert "batch.csv: No space left on device" in complaint


def test_half_a_table_and_half_a_memory_are_cleared_away(critsheet: Run, talks: Path) -> None:
    critsheet("batch", talks, "--out", "out")
    left = [Path("out/.batch.csv.x7"), Path("out/.batch/.0a1b.json.x7")]
    for path in left:
        path.write_text("half")
    critsheet("batch", talks, "--out", "out")
    assert not any(path.exists() for path in left)


def test_nothing_is_cleared_away_while_another_run_writes(critsheet: Run, talks: Path) -> None:
    critsheet("batch", talks, "--out", "out", "--quiet")
    half = Path("out/week1/.critsheet-half/new")
    half.mkdir(parents=True)
    with FileLock(next(Path("out/.batch").glob("*.json")).with_suffix(".lock")):
        critsheet("batch", talks, "--out", "out", "--quiet")
        assert half.exists()
    critsheet("batch", talks, "--out", "out", "--quiet")
    assert not half.exists()


def test_stopped_at_once_it_says_that_nothing_is_done_yet(
    critsheet: Run, talks: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("critsheet.make.make_sheet", stopped)
    status, _, said = critsheet("batch", talks, "--out", "out")
    assert status == 130 and "None of 3 recordings is done yet." in said


class Watched:
    """What happens between two looks at a watched folder, one step a look; then Ctrl-C."""

    def __init__(self, *steps: Callable[[], object]) -> None:
        self._steps = iter(steps)

    def sleep(self, _seconds: float) -> None:
        step = next(self._steps, None)
        if step is None:
            raise KeyboardInterrupt
        step()


@pytest.fixture
def watched(critsheet: Run, talks: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., str]:
    """Watches the folder while the steps happen; gives what was said."""

    def watch(*steps: Callable[[], object], more: tuple[str, ...] = ()) -> str:
        monkeypatch.setattr("critsheet.cli.batch.time", Watched(lambda: None, *steps, lambda: None))
        status, _, said = critsheet("batch", talks, "--out", "out", "--watch", *more)
        assert status == 130
        return said

    return watch


def test_a_watched_file_that_grows_waits(watched: Callable[..., str], talks: Path) -> None:
    new = talks / "new.vtt"

    def not_yet() -> None:
        assert not Path("out/new").exists()
        new.write_text(f"{new.read_text()}\n")

    said = watched(lambda: new.write_text(TALK[:-12]), not_yet, lambda: new.write_text(TALK))
    assert "4 recordings: 4 made." in said and "failed" not in said


def test_a_watched_file_that_was_copied_badly_is_made_when_it_is_whole(
    watched: Callable[..., str], talks: Path
) -> None:
    new = talks / "new.vtt"

    said = watched(lambda: new.write_text("WEBVTT\n"), lambda: None, lambda: new.write_text(TALK))
    assert "new.vtt: failed" in said and "new.vtt: made, 2 notes" in said and "4 recordings: 4 made." in said


def test_a_watch_outlasts_a_disk_that_is_away(watched: Callable[..., str], talks: Path) -> None:
    away = talks.with_name("away")
    said = watched(lambda: talks.rename(away), lambda: None, lambda: away.rename(talks))
    assert said.count("There is no folder") == 1 and "3 recordings: 3 made." in said


def test_what_another_run_had_in_hand_is_looked_at_again(watched: Callable[..., str], talks: Path) -> None:
    names = hashlib.sha256(b"week1/bo").hexdigest()[:24]
    Path("out/.batch").mkdir(parents=True)
    lock = FileLock(Path(f"out/.batch/{names}.lock"))
    lock.acquire()
    said = watched(lambda: None, lock.release)
    assert said.count("being made by another run") == 1 and "3 recordings: 3 made." in said
