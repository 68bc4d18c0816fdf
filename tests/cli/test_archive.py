"""The archive on the command line: sheets are filed, listed, shown, found, taken out."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def filed(critsheet: Run, captions: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """One sheet in a folder, filed in an archive of its own."""
    monkeypatch.setenv("CRITSHEET_ARCHIVE", "school.db")
    critsheet("make", captions, "--student", "Tamsin Okoro", "--mentor", "Hal Orsini", "--out", "reviews/osk")
    status, _, said = critsheet("archive", "add", "reviews", "--class", "Walks")
    assert status == 0 and "1 added" in said
    return Path("reviews/osk/sheet.json")


def test_a_sheet_is_listed_with_its_number(critsheet: Run, filed: Path) -> None:
    status, listed, _ = critsheet("archive", "list")
    assert status == 0
    assert "Tamsin" in listed and "2 of 2" in listed and "1 sheet." in listed


def test_added_again_it_is_already_there(critsheet: Run, filed: Path) -> None:
    assert "1 already there" in critsheet("archive", "add", filed)[2]


def test_a_note_is_found_with_the_match_marked(critsheet: Run, filed: Path) -> None:
    status, found, _ = critsheet("search", "hips", "stopped")
    assert status == 0
    assert "1 note has this." in found
    assert "*hips* *stop* dead" in found
    assert "0:01 in talk.vtt" in found
    assert all(len(line) <= 80 for line in found.splitlines())


def test_it_is_found_as_json(critsheet: Run, filed: Path) -> None:
    found = json.loads(critsheet("search", "hips", "--json")[1])
    assert found["hits"][0]["page_link"].endswith("reviews/osk/sheet.html#note-n1")


def test_nothing_found_is_no_mistake(critsheet: Run, filed: Path) -> None:
    status, found, _ = critsheet("search", "dragon")
    assert (status, found) == (0, "No note has this.\n")


def test_a_sheet_is_shown_whole(critsheet: Run, filed: Path) -> None:
    assert "The hips stop dead at 142." in critsheet("archive", "show", 1)[1]
    assert json.loads(critsheet("archive", "show", 1, "--json")[1]) == json.loads(filed.read_text())
    assert "as it is now" in critsheet("archive", "show", 1, "--all")[1]


def test_nothing_is_taken_out_unasked(critsheet: Run, filed: Path) -> None:
    status, _, said = critsheet("archive", "remove", 1)
    assert status == 2 and "--yes" in said
    assert critsheet("archive", "remove", 1, "--yes")[0] == 0
    assert "0 sheets." in critsheet("archive", "list")[1]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["search"], "nothing to look for"),
        (["search", "foot", "--category", "feet"], "Choose one of: acting"),
        (["search", "foot", "--status", "finished"], "Choose one of: open, done"),
        (["search", "foot", "--since", "last week"], "--since 2026-01-31"),
        (["search", "foot", "--student", "Nobody"], "no student “Nobody”"),
        (["archive", "list", "--class", "Flying"], "no class “Flying”"),
        (["archive", "show", "7"], "no sheet 7"),
        (["archive", "add", "nowhere"], "no such file or folder"),
        (["search", "foot", "--archive", "mysql://host/db"], "postgresql://USER@HOST/DATABASE"),
    ],
)
def test_a_mistake_is_told_in_one_line(critsheet: Run, filed: Path, typed: list[str], said: str) -> None:
    status, shown, complaint = critsheet(*typed)
    assert status == 2
    assert said in complaint and complaint.count("\n") == 1 and not shown


def test_without_an_archive_it_says_how_to_begin(critsheet: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CRITSHEET_ARCHIVE", "none.db")
    status, _, said = critsheet("search", "foot")
    assert status == 2 and "critsheet archive add FOLDER" in said
    assert not Path("none.db").exists()


def test_a_damaged_sheet_is_told_and_the_others_are_filed(critsheet: Run, filed: Path) -> None:
    bad = Path("reviews/bad/sheet.json")
    bad.parent.mkdir()
    bad.write_text("{")
    status, _, said = critsheet("archive", "add", "reviews")
    assert status == 5
    assert "1 already there; 1 could not be filed" in said and str(bad) in said
