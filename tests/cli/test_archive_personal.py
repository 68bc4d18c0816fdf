"""What is held about people, on the command line: shown, exported, forgotten, and told plainly what is left."""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from critsheet.cli.archive_personal import _day
from critsheet.errors import InputError
from critsheet.sheet import load

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def filed(critsheet: Run, captions: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two students' sheets in an archive; the mentor names one of them to the other."""
    monkeypatch.setenv("CRITSHEET_ARCHIVE", "school.db")
    critsheet("make", captions, "--student", "Tamsin Okoro", "--mentor", "Hal Orsini", "--out", "reviews/osk")
    other = captions.with_name("other.vtt")
    other.write_text(captions.read_text().replace("The hips", "Like Tamsin, the hips"))
    critsheet("make", other, "--student", "Priya Venn", "--mentor", "Hal Orsini", "--out", "reviews/bo")
    assert critsheet("archive", "add", "reviews", "--class", "Walks")[0] == 0
    return Path("reviews")


def test_what_is_held_is_shown(critsheet: Run, filed: Path) -> None:
    status, shown, _ = critsheet("archive", "about", "tamsin okoro")
    assert status == 0
    assert "As a student, 1 sheet:" in shown and "2 open" in shown
    assert "Named in these sheets of others:" in shown and "(Priya Venn)  “Tamsin” twice" in shown
    assert all(len(line) <= 80 for line in shown.splitlines())


def test_it_is_shown_as_json(critsheet: Run, filed: Path) -> None:
    told = json.loads(critsheet("archive", "about", "Tamsin Okoro", "--json")[1])
    assert told["name"] == "Tamsin Okoro" and len(told["as_student"]) == len(told["named_in"]) == 1


def test_nobody_is_forgotten_unasked(critsheet: Run, filed: Path) -> None:
    status, _, said = critsheet("archive", "forget", "--student", "Tamsin Okoro")
    assert status == 2 and "--yes" in said
    assert "2 sheets." in critsheet("archive", "list")[1]


def test_forgotten_wholly(critsheet: Run, filed: Path) -> None:
    status, shown, said = critsheet("archive", "forget", "--student", "Priya Venn", "--yes")
    assert (status, said) == (0, "")
    assert "Taken out: 1 sheet, 2 notes." in shown and "Nothing of what was deleted is left" in shown
    assert str(filed.resolve() / "bo") in shown.replace("\n", "").replace(" ", "")
    assert (filed / "bo" / "sheet.json").exists()
    assert b"priya" not in Path("school.db").read_bytes().lower()


def test_what_is_left_is_told_and_is_no_success(critsheet: Run, filed: Path) -> None:
    status, shown, said = critsheet("archive", "forget", "--student", "Tamsin Okoro", "--yes")
    assert status == 9 and said.count("\n") == 1 and "Not everything is gone" in said
    assert "(Priya Venn)  “Tamsin” twice" in shown and "critsheet archive remove NUMBER" in shown
    assert "1 sheet." in critsheet("archive", "list")[1]
    again = critsheet("archive", "forget", "--student", "Tamsin Okoro")
    assert again[0] == 9 and "There is no sheet of Tamsin Okoro" in again[2]


def test_a_page_about_them_goes_with_them(critsheet: Run, filed: Path) -> None:
    critsheet("cohort", "--student", "Priya Venn", "--out", "page")
    assert list(Path("page").iterdir())
    assert critsheet("archive", "forget", "--student", "Priya Venn", "--yes")[0] == 0
    assert not Path("page").exists()


def test_what_is_old_is_forgotten(critsheet: Run, filed: Path) -> None:
    status, shown, said = critsheet("archive", "forget", "--older-than", "2 years", "--yes")
    assert status == 0 and "There is no sheet made before" in said and "Taken out" not in shown


def test_sheets_are_exported_whole(critsheet: Run, filed: Path) -> None:
    status, _, said = critsheet("archive", "export", "out", "--student", "Tamsin Okoro")
    assert status == 0 and "1 sheet in out" in said
    (found,) = Path("out").rglob("sheet.json")
    assert load(found) == load(filed / "osk" / "sheet.json")


def test_with_stand_ins_they_still_make_every_form(critsheet: Run, filed: Path) -> None:
    assert critsheet("archive", "export", "out", "--pseudonymise")[0] == 0
    for path in sorted(Path("out").rglob("sheet.json")):
        assert critsheet("export", path, "--to", "markdown", "--out", path.with_name("list.md"))[0] == 0
        written = path.read_text() + path.with_name("list.md").read_text()
        assert not [name for name in ("Tamsin", "Priya", "Hal", "Orsini", "talk.vtt", "other") if name in written]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (["forget", "--yes"], "--student NAME"),
        (["forget", "--older-than", "old", "--yes"], '"3 years"'),
        (["forget", "--older-than", "2999-01-01", "--yes"], "still to come"),
        (["about", " "], "Give a name"),
        (["export", "reviews"], "reviews exists"),
        (["export", "out", "--student", "Nobody"], "no student “Nobody”"),
    ],
)
def test_a_mistake_is_told_in_one_line(critsheet: Run, filed: Path, typed: list[str], said: str) -> None:
    status, shown, complaint = critsheet("archive", *typed)
    assert status in (2, 6)
    assert said in complaint and complaint.count("\n") == 1 and not shown


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2024-01-31", "2024-01-31"),
        ("90 days", "2023-12-01"),
        ("1 month", "2024-01-29"),
        ("18 months", "2022-08-29"),
        ("3 Years", "2021-02-28"),
    ],
)
def test_an_age_is_counted_by_the_calendar(typed: str, day: str) -> None:
    assert _day(typed, date(2024, 2, 29)) == day


@pytest.mark.parametrize("typed", ["", "3y", "years", "-1 year", "9999 years", "2024-02-30", "3 years ago"])
def test_another_age_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match="--older-than"):
        _day(typed, date(2024, 2, 29))
