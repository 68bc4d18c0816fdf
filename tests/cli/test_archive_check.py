"""`critsheet archive check`: what a school's mentor is told, and what they can do about it."""

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]
ARCHIVE = Path("school.db")


@pytest.fixture(autouse=True)
def filed(critsheet: Run, captions: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two sheets in an archive of its own."""
    monkeypatch.setenv("CRITSHEET_ARCHIVE", str(ARCHIVE))
    other = captions.with_name("other.vtt")
    other.write_text(captions.read_text().replace("hips", "knees"))
    critsheet("make", captions, "--student", "Tamsin Okoro", "--title", "Osk lifts", "--out", "reviews/osk")
    critsheet("make", other, "--student", "Priya Venn", "--title", "Bo carries", "--out", "reviews/bo")
    assert critsheet("archive", "add", "reviews", "--class", "Walks")[0] == 0


def change(statement: str) -> None:
    connection = sqlite3.connect(ARCHIVE)
    with connection:
        connection.execute(statement)
    connection.close()


def test_a_sound_archive_is_told_in_one_line(critsheet: Run) -> None:
    assert critsheet("archive", "check") == (0, "The archive is sound: 2 sheets, each whole.\n", "")


def test_a_hurt_sheet_is_named_with_the_way_out(critsheet: Run) -> None:
    change("UPDATE versions SET document = x'00' WHERE sheet = 1")
    status, told, hint = critsheet("archive", "check")
    assert status == 9
    assert told.splitlines() == [
        "The archive is hurt. 1 of 2 sheets is as it was filed.",
        "Sheet 1 “Bo carries” of Priya Venn: it cannot be read.",
    ]
    assert "critsheet archive check --save FOLDER" in hint and hint.count("\n") == 1


def test_what_was_saved_can_be_added_again(critsheet: Run) -> None:
    status, told, hint = critsheet("archive", "check", "--save", "rescued")
    assert (status, told) == (0, "Saved in rescued: 2 sheets.\n")
    assert "critsheet archive add rescued --archive NEW" in hint
    assert "2 added" in critsheet("archive", "add", "rescued", "--archive", "new.db")[2]
    assert critsheet("search", "hips", "--archive", "new.db")[1].startswith("1 note has this.")


def test_sheets_that_are_lost_are_told_when_the_others_are_saved(critsheet: Run) -> None:
    change("UPDATE versions SET document = x'00' WHERE sheet = 1")
    status, told, _ = critsheet("archive", "check", "--save", "rescued")
    assert status == 9
    assert told.splitlines() == ["Saved in rescued: 1 sheet.", "Not saved, as they cannot be read: 1."]


def test_a_file_without_its_beginning_is_saved_from(critsheet: Run) -> None:
    ARCHIVE.write_bytes(bytes(4096) + ARCHIVE.read_bytes()[4096:])
    status, told, hint = critsheet("archive", "check")
    assert status == 9 and "its beginning is damaged" in told
    assert "--save FOLDER" in hint
    status, told, _ = critsheet("archive", "check", "--save", "rescued")
    assert (status, told.splitlines()) == (
        0,
        ["Saved in rescued: 2 sheets.", "In the last form that was found: 1, 2."],
    )


def test_what_is_listed_wrongly_is_mended(critsheet: Run) -> None:
    change("UPDATE note_texts SET action = 'nothing'")
    status, told, hint = critsheet("archive", "check")
    assert status == 9 and told.count("listed or searched wrongly") == 2
    assert hint == "No sheet is lost. Mend it: critsheet archive check --mend\n"
    assert critsheet("archive", "check", "--mend")[:2] == (0, "The archive is sound: 2 sheets, each whole.\n")


def test_with_a_new_vocabulary_it_says_so_and_stays_sound(critsheet: Run) -> None:
    change("UPDATE facts SET value = 'of old' WHERE name = 'vocabulary'")
    status, _, hint = critsheet("archive", "check")
    assert status == 0 and "archive check --mend" in hint
    assert critsheet("archive", "check", "--mend")[2] == ""


@pytest.mark.parametrize(
    ("typed", "status", "said"),
    [
        (["--save", "rescued", "--mend"], 2, "Save first, then mend."),
        (["--save", "reviews"], 6, "reviews is not an empty folder."),
        (["--archive", "none.db"], 2, "There is no archive at none.db."),
        (["--archive", "talk.vtt"], 9, "is no archive, or its beginning is damaged."),
        (["--archive", "reviews"], 2, "reviews is a folder."),
    ],
)
def test_a_mistake_is_told_in_one_line(critsheet: Run, typed: list[str], status: int, said: str) -> None:
    got, told, complaint = critsheet("archive", "check", *typed)
    assert (got, told) == (status, "")
    assert said in complaint and complaint.count("\n") == 1
