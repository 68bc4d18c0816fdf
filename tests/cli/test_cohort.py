"""What a class is told, on the command line: pages and tables without anybody's name."""

import csv
from collections.abc import Callable
from pathlib import Path

import html5lib
import pytest
from invented_talk import TALK

Run = Callable[..., tuple[int, str, str]]
STUDENTS = ("Tamsin Okoro", "Priya Venn", "Dev Castellan", "Mika Lindqvist", "Ruth Abara", "Joao Brandt")


@pytest.fixture
def school(critsheet: Run, workplace: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A class of six, each told the same."""
    monkeypatch.setenv("CRITSHEET_ARCHIVE", "school.db")
    for place, student in enumerate(STUDENTS):
        talk = workplace / f"talk{place}.vtt"
        talk.write_text(TALK.replace("142", str(142 + place)))
        critsheet("make", talk, "--student", student, "--mentor", "Hal Orsini", "--out", f"sheets/{place}", "--quiet")
    critsheet("archive", "add", "sheets", "--class", "Walks")
    return workplace


def test_a_class_gets_pages_and_tables(critsheet: Run, school: Path) -> None:
    status, _, said = critsheet("cohort", "--class", "walks", "--out", "spring")
    assert status == 0 and "The page is spring/cohort.html" in said
    assert {path.name for path in Path("spring").iterdir()} == {
        "cohort.html",
        "glossary.html",
        "told.csv",
        "returns.csv",
        "mentors.csv",
    }
    (row,) = csv.DictReader(Path("spring/told.csv").read_text("utf-8-sig").splitlines())
    assert (row["category"], row["notes"], row["students"]) == ("overlap", "12", "6")


def test_no_student_is_named(critsheet: Run, school: Path) -> None:
    critsheet("cohort", "--out", "spring")
    written = "".join(path.read_text() for path in Path("spring").iterdir())
    assert not any(name in written for student in STUDENTS for name in student.split())
    assert "No grading" in written and "Hal Orsini" in written


def test_the_pages_are_whole_html_and_run_nothing(critsheet: Run, school: Path) -> None:
    critsheet("cohort", "--out", "spring", "--sheet-language", "de")
    critsheet("cohort", "--student", "Tamsin Okoro", "--out", "tamsin")
    for path in (*Path("spring").glob("*.html"), *Path("tamsin").glob("*.html")):
        text = path.read_text()
        html5lib.HTMLParser(strict=True).parse(text)
        assert "default-src &#39;none&#39;" in text and "<script" not in text


def test_a_small_class_is_not_shown(critsheet: Run, school: Path) -> None:
    status, _, said = critsheet("cohort", "--mentor", "Hal Orsini", "--before", "2001-01-01", "--out", "spring")
    assert status == 2 and "0 students" in said
    assert not Path("spring").exists()


def test_a_student_has_a_page_of_their_own(critsheet: Run, school: Path) -> None:
    status, _, said = critsheet("cohort", "--student", "tamsin okoro", "--out", "tamsin")
    page = Path("tamsin/student.html").read_text()
    assert status == 0 and "tamsin/student.html" in said
    assert "The hips stop dead at 142." in page and "Tamsin Okoro" in page and "Priya" not in page
    assert f'href="{(Path("sheets/0/sheet.html")).resolve().as_uri()}#note-n1"' in page


def test_nothing_is_overwritten(critsheet: Run, school: Path) -> None:
    Path("spring").mkdir()
    status, _, said = critsheet("cohort", "--out", "spring")
    assert status == 6 and "spring exists" in said
