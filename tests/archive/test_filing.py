"""A sheet is filed once, whole, in its latest form, with its history; in a file and on a server alike."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from invented_reviews import note, review, ticked

from critsheet import vocabulary
from critsheet.archive.adding import add
from critsheet.archive.filing import Outcome, file, now, prepare
from critsheet.archive.listing import history, list_sheets, read_sheet, remove
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.searching import search
from critsheet.archive.wanted import Wanted
from critsheet.errors import InputError, SheetError
from critsheet.sheet import Sheet, save

PACK = vocabulary.load()
SLIDE = note("Plant the left foot", "the foot slides here")
ARMS = note("Break up the arms", "both arms do the same thing", category="posing")


@pytest.fixture
def archive(archive_place: str) -> Iterator[Archive]:
    with open_archive(archive_place, create=True, writing=True) as opened:
        yield opened


def filed(archive: Archive, sheet: Sheet, class_: str | None = None) -> Outcome:
    return archive.write(lambda connection: file(connection, prepare(sheet, PACK), class_, now()))


def found(archive: Archive, typed: str) -> list[str]:
    return [hit.action.text for hit in search(archive, typed, Wanted(), PACK).hits]


def test_a_sheet_is_kept_whole(archive: Archive) -> None:
    sheet = review(SLIDE, ARMS)
    assert filed(archive, sheet) == "added"
    assert read_sheet(archive, 1) == sheet


def test_the_same_sheet_again_changes_nothing(archive: Archive) -> None:
    sheet = review(SLIDE)
    filed(archive, sheet)
    assert filed(archive, sheet) == "already there"
    assert len(list_sheets(archive, Wanted())) == len(history(archive, 1)) == 1


def test_made_again_with_the_same_options_it_is_the_same(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    assert filed(archive, review(SLIDE, made="2026-03-09T10:00:00Z")) == "already there"


def test_a_corrected_sheet_takes_the_place_of_its_earlier_form(archive: Archive) -> None:
    corrected = note("Pin the left foot until the hips pass over it", "the foot slides here", edited=True)
    filed(archive, review(SLIDE))
    assert filed(archive, review(corrected, corrected="2026-03-03T09:00:00Z")) == "replaced"
    assert found(archive, "pin") == ["Pin the left foot until the hips pass over it"]
    assert found(archive, "plant") == []
    assert [one.current for one in history(archive, 1)] == [False, True]
    assert read_sheet(archive, 1, version=1).notes[0].action == "Plant the left foot"


def test_a_tick_is_a_new_form(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    assert filed(archive, review(ticked(SLIDE, "2026-03-04T10:00:00+01:00"))) == "replaced"
    assert search(archive, "foot", Wanted(), PACK).hits[0].status == "done"


def test_an_older_form_stays_behind_the_one_that_is_there(archive: Archive) -> None:
    late = review(note("Pin the foot"), corrected="2026-03-08T10:00:00Z")
    filed(archive, late)
    assert filed(archive, review(SLIDE)) == "older"
    assert read_sheet(archive, 1) == late
    assert filed(archive, review(SLIDE)) == "already there"


def test_one_recording_for_two_students_is_two_sheets(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    assert filed(archive, review(ARMS, student="Priya Venn")) == "added"
    assert len(list_sheets(archive, Wanted())) == 2


def test_a_name_in_other_letters_is_the_same_person(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    filed(archive, review(ARMS, recording="osk-2", student="tamsin  OKORO"))
    assert [one.student for one in list_sheets(archive, Wanted(student="Tamsin okoro"))] == ["Tamsin Okoro"] * 2


def test_a_class_can_be_given_later_and_stays(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    filed(archive, review(SLIDE), "Walks")
    filed(archive, review(SLIDE))
    assert [one.class_ for one in list_sheets(archive, Wanted(class_="walks"))] == ["Walks"]
    assert search(archive, "foot", Wanted(class_="Walks"), PACK).total == 1


def test_added_from_where_its_folder_was_moved_to_it_is_found_there(archive: Archive, tmp_path: Path) -> None:
    for name in ("here", "there"):
        (tmp_path / name).mkdir()
        save(review(SLIDE), tmp_path / name / "sheet.json")
        added = add(archive, [tmp_path / name / "sheet.json"], PACK)
    assert added.outcomes["already there"] == 1
    assert list_sheets(archive, Wanted())[0].place == str(tmp_path / "there/sheet.json")


def test_removed_it_is_found_no_more(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    filed(archive, review(ARMS, recording="osk-2", student="Priya Venn"))
    remove(archive, [1])
    assert found(archive, "foot") == []
    assert found(archive, "arms") == ["Break up the arms"]
    with pytest.raises(InputError, match="no student “Tamsin Okoro”"):
        list_sheets(archive, Wanted(student="Tamsin Okoro"))


def test_a_number_is_never_given_out_again(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    remove(archive, [1])
    filed(archive, review(ARMS, recording="osk-2"))
    assert [one.number for one in list_sheets(archive, Wanted())] == [2]


def test_where_one_number_is_wrong_all_stay(archive: Archive) -> None:
    filed(archive, review(SLIDE))
    with pytest.raises(InputError, match="no sheet 9"):
        remove(archive, [1, 9])
    assert len(list_sheets(archive, Wanted())) == 1


def test_a_sheet_without_a_date_is_refused(archive: Archive) -> None:
    with pytest.raises(SheetError, match="bears the date 'last spring'"):
        filed(archive, review(SLIDE, made="last spring"))


def test_a_damaged_file_does_not_stop_the_others(archive: Archive, tmp_path: Path) -> None:
    save(review(SLIDE), tmp_path / "good.json")
    (tmp_path / "bad.json").write_text('{"schema": "critsheet/1"')
    added = add(archive, [tmp_path / "bad.json", tmp_path / "good.json"], PACK)
    assert added.outcomes["added"] == 1
    assert [path.name for path, _ in added.failed] == ["bad.json"]
