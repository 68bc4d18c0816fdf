"""What is held about somebody is told: their sheets, where others name them, what was written about them."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from invented_reviews import note, review, ticked

from critsheet import vocabulary
from critsheet.archive.about import About, about
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.written_files import remember
from critsheet.render.held import about_json

PACK = vocabulary.load()
FIRST = review(
    note("Plant the foot"), ticked(note("Break up the arms"), "2026-03-04T10:00:00Z"), note("Keep it", kind="keep")
)
OTHER = review(note("Roll it like Tamsin, or Hal"), recording="crate-1", student="Priya Venn", mentor="Bea Nakata")


@pytest.fixture
def archive(archive_place: str) -> Iterator[Archive]:
    with open_archive(archive_place, create=True, writing=True) as opened:
        for sheet in (FIRST, OTHER):
            prepared = prepare(sheet, PACK)
            opened.write(lambda connection, prepared=prepared: file(connection, prepared, "Lifts", now()))  # type: ignore[misc]
        yield opened


def held(archive: Archive, name: str) -> About:
    return about(archive, name, lambda share: None)


def test_a_students_sheets_are_told_with_how_their_notes_stand(archive: Archive) -> None:
    found = held(archive, "tamsin OKORO")
    assert found.name == "Tamsin Okoro" and not found.as_mentor
    (one,) = found.as_student
    assert (one.sheet.number, one.sheet.class_, one.notes) == (1, "Lifts", {"open": 1, "done": 1, "praise": 1})


def test_a_mentors_sheets_are_told(archive: Archive) -> None:
    found = held(archive, "Hal Orsini")
    assert [one.sheet.student for one in found.as_mentor] == ["Tamsin Okoro"] and not found.as_student


def test_where_others_name_them_is_told(archive: Archive) -> None:
    for name, word in (("Tamsin Okoro", "Tamsin"), ("Hal Orsini", "Hal"), ("Tamsin", "Tamsin")):
        named = held(archive, name).named.mentions
        assert [(one.number, one.said) for one in named if one.number == 2] == [(2, (word,))]


def test_what_was_written_about_them_is_told(archive: Archive, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.touch()
    remember(archive, "Tamsin Okoro", page)
    (written,) = held(archive, "Tamsin Okoro").written
    assert (written.path, written.fate()) == (page, "as written")
    page.write_text("changed")
    assert written.fate() == "changed since"


def test_nobody_is_nobody(archive: Archive) -> None:
    found = held(archive, "Nobody At All")
    assert not (found.as_student or found.as_mentor or found.named.mentions or found.written)


def test_other_programs_get_it_as_json(archive: Archive) -> None:
    told = json.loads(about_json(held(archive, "Tamsin Okoro")))
    assert told["as_student"][0]["notes"] == {"open": 1, "done": 1, "praise": 1}
    assert told["named_in"] == [
        {
            "number": 2,
            "title": "Osk lifts the crate",
            "student": "Priya Venn",
            "said": ["Tamsin"],
            "times": 2,
            "now": True,
        }
    ]
