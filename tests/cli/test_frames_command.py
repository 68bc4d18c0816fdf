"""`critsheet frames`: a table and a figure of what was on screen."""

import csv
from pathlib import Path

import pytest

from critsheet.frames.showing import Playhead, Showing

FOUND = Playhead(
    (Showing(0.0, ((101, 102),), 0.97), Showing(0.2, (), 1.0)),
    "shown",
    ("3 damaged pictures of the recording were skipped",),
)


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> list[tuple[object, ...]]:
    """Matching has its own tests; here it answers at once and remembers what it was asked."""
    asked: list[tuple[object, ...]] = []

    def match(*arguments: object) -> Playhead:
        asked.append(arguments)
        return FOUND

    monkeypatch.setattr("critsheet.frames.matching.match_pictures", match)
    return asked


def test_the_table_has_a_row_a_sample_and_no_frames_while_away(critsheet, workplace: Path) -> None:
    status, _, told = critsheet("frames", "review.mp4", "--shot", "shot.mp4", "--out", "found")
    assert status == 0
    rows = list(csv.reader((workplace / "found" / "playhead.csv").read_text().splitlines()))
    assert rows[0] == ["seconds", "first", "last", "confidence"]
    assert rows[1][:3] == ["0.0", "101", "102"]
    assert rows[2][:3] == ["0.2", "", ""]
    assert "<svg" in (workplace / "found" / "playhead.svg").read_text()
    assert "1 of 2 moments" in told
    assert "3 damaged pictures" in told


@pytest.mark.parametrize(("typed", "first"), [((), 1), (("--frames", "101-188"), 101), (("--frames", "1001"), 1001)])
def test_frames_count_from_where_the_production_does(critsheet, quick, typed, first) -> None:
    assert critsheet("frames", "review.mp4", "--shot", "shot.mp4", "--out", "found", *typed)[0] == 0
    assert quick[0][2] == first


def test_quiet_prints_nothing(critsheet) -> None:
    assert critsheet("frames", "a.mp4", "--shot", "b.mp4", "--out", "found", "--quiet") == (0, "", "")


def test_work_that_is_there_is_not_overwritten(critsheet, workplace: Path, quick) -> None:
    (workplace / "found").mkdir()
    (workplace / "found" / "playhead.csv").write_text("mine")
    status, _, told = critsheet("frames", "a.mp4", "--shot", "b.mp4", "--out", "found")
    assert status == 6
    assert "exists" in told
    assert not quick
    assert (workplace / "found" / "playhead.csv").read_text() == "mine"


def test_a_file_in_the_folders_place(critsheet, workplace: Path) -> None:
    (workplace / "found").write_text("")
    assert critsheet("frames", "a.mp4", "--shot", "b.mp4", "--out", "found")[0] == 6


def test_neither_file_is_left_where_one_cannot_be_written(critsheet, workplace: Path, monkeypatch) -> None:
    from critsheet.errors import OutputError
    from critsheet.sheet import write_whole

    def full(path: Path, data: str) -> None:
        if path.name.endswith(".csv"):
            raise OutputError("The disk is full.")
        write_whole(path, data)

    monkeypatch.setattr("critsheet.sheet.write_whole", full)
    monkeypatch.setattr("critsheet.cli.frames.write_whole", full, raising=False)
    assert critsheet("frames", "a.mp4", "--shot", "b.mp4", "--out", "found")[0] == 6
    assert list((workplace / "found").iterdir()) == []
