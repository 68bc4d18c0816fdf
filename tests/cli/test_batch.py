"""A batch on the command line: every recording is made once, and a bad one never stops the others."""

import csv
import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from invented_talk import TALK

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
    assert "lost.mp4" in critsheet("batch", talks, "--out", "out", "--names", "names.csv")[2]


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
