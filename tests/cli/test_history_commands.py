"""From one submission to the next at the command line: --previous, done, history."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet.render.folder import SHEET
from critsheet.sheet import load

Run = Callable[..., tuple[int, str, str]]
FIRST, SECOND = Path("critsheet-talk", SHEET), Path("critsheet-again", SHEET)

AGAIN = """WEBVTT

00:01.000 --> 00:04.000
Still, the hips stop dead at 142, same as last week.
"""


@pytest.fixture
def again(workplace: Path) -> Path:
    """The talk on the next submission."""
    path = workplace / "again.vtt"
    path.write_text(AGAIN)
    return path


@pytest.fixture
def both(critsheet: Run, captions: Path, again: Path) -> None:
    """The sheets of two submissions."""
    critsheet("make", captions, "--submission", 1)
    critsheet("make", again, "--submission", 2, "--previous", FIRST)


def ticks_of(sheet: Path, **tick: object) -> Path:
    path = Path("ticks.json")
    noted = {"n1": {"done": True, "at": "2026-02-03T18:10:00Z", "comment": "at frame 42", **tick}}
    whole = {"schema": "critsheet-ticks/1", "sheet": load(sheet).id, "saved": "2026-02-03T18:20:00Z", "notes": noted}
    path.write_text(json.dumps(whole))
    return path


def test_the_next_sheet_tells_what_became_of_the_earlier_notes(both: None) -> None:
    told = load(SECOND)
    assert [(one.outcome, one.note) for one in told.earlier] == [("repeated", "n1"), ("not mentioned", None)]
    assert told.settings["options"]["previous"] == [load(FIRST).id]
    for name in ("sheet.md", "sheet.html"):
        assert "From last time" in SECOND.with_name(name).read_text()


def test_the_terminal_shows_earlier_notes_apart(critsheet: Run, captions: Path, again: Path) -> None:
    critsheet("make", captions)
    _, out, _ = critsheet("make", again, "--previous", ".", "--out", "next")
    assert "FROM LAST TIME: AGAIN" in out
    assert "FROM LAST TIME: NOT SPOKEN OF THIS TIME" in out
    assert max(map(len, out.splitlines())) <= 80


def test_a_tick_is_taken_into_the_sheet_and_stands_beside_what_the_mentor_says_next(
    critsheet: Run, captions: Path, again: Path
) -> None:
    critsheet("make", captions)
    status, _, err = critsheet("done", FIRST, ticks_of(FIRST))
    assert status == 0
    assert "1 of 2 notes are done" in err
    assert "[x]" in FIRST.with_name("sheet.md").read_text()
    critsheet("make", again, "--previous", FIRST, "--quiet")
    text = SECOND.with_name("sheet.md").read_text()
    assert "You said done, 2026-02-03: “at frame 42”; the mentor now, note 1: “Still, the hips stop dead at 142" in text


def test_a_comment_without_a_tick_is_not_lost_in_silence(critsheet: Run, captions: Path) -> None:
    critsheet("make", captions)
    before = FIRST.read_bytes()
    _, _, err = critsheet("done", FIRST, ticks_of(FIRST, done=False))
    assert "1 stay in ticks.json" in err
    assert FIRST.read_bytes() == before


def test_ticks_of_another_sheet_change_nothing(critsheet: Run, both: None) -> None:
    before = SECOND.read_bytes()
    status, _, err = critsheet("done", SECOND, ticks_of(FIRST))
    assert (status, err.count("\n"), SECOND.read_bytes()) == (2, 1, before)
    assert "another sheet" in err


def test_a_previous_sheet_of_another_shot_is_refused_before_any_listening(
    critsheet: Run, captions: Path, recording: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    critsheet("make", captions, "--names", "Perla", "--out", "other")
    monkeypatch.setattr("critsheet.speech.transcribe", lambda *_: pytest.fail("listened"))
    status, out, err = critsheet("make", recording, "--names", "Osk", "--previous", "other", "--out", "next")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "another shot: it speaks of Perla, not of Osk" in err
    assert not Path("next").exists()


@pytest.mark.parametrize("text", ["{", '{"schema": "critsheet/2"}'])
def test_a_damaged_or_newer_previous_sheet_is_one_line(critsheet: Run, captions: Path, text: str) -> None:
    Path("earlier.json").write_text(text)
    status, _, err = critsheet("make", captions, "--previous", "earlier.json")
    assert (status, err.count("\n")) == (5, 1)
    assert "earlier.json" in err


def test_the_history_is_a_table_and_a_page(critsheet: Run, both: None) -> None:
    status, out, err = critsheet("history", ".", "--out", "history.html")
    assert status == 0
    assert "asked again" in out
    assert "2 notes are still open." in out
    assert max(map(len, out.splitlines())) <= 80
    assert "history.html" in err
    assert "asked again" in Path("history.html").read_text()


def test_the_history_overwrites_nothing(critsheet: Run, both: None) -> None:
    Path("history.html").write_text("mine")
    status, _, err = critsheet("history", ".", "--out", "history.html")
    assert (status, err.count("\n"), Path("history.html").read_text()) == (6, 1, "mine")
    assert critsheet("history", ".", "--out", "nowhere/history.html")[0] == 6


def test_a_history_of_nothing_or_of_two_shots_is_one_line(critsheet: Run, captions: Path, again: Path) -> None:
    status, _, err = critsheet("history", ".")
    assert (status, err.count("\n")) == (2, 1)
    critsheet("make", captions, "--frames", "1-88")
    critsheet("make", again, "--frames", "1001-1088")
    status, _, err = critsheet("history", ".")
    assert (status, err.count("\n")) == (2, 1)
    assert "another shot" in err
