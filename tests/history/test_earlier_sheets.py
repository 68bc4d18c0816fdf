"""Which sheets are taken for the submissions before, in which order, and which are refused."""

from pathlib import Path
from typing import Any

import pytest
from critique_pairs import sheet

from critsheet.errors import InputError, SheetError
from critsheet.history import check_one_shot, read_previous, read_sheets
from critsheet.sheet import Recording, Review, Sheet, Shot, save, to_json


def handed_in(number: int | None, talk: str, made: str = "2026-01-01T10:00:00Z", **more: Any) -> Sheet:
    review = Review(
        title="Lift",
        student=more.pop("student", None),
        submission=number,
        recording=Recording(file=f"{talk}.wav", sha256=talk * 8, duration=10),
    )
    names = more.pop("names", ["Osk"])
    return sheet(["Nothing."], names, more.pop("shot", None), 1, review=review).model_copy(
        update={"id": f"s{talk}", "made": made}
    )


def ids(sheets: list[Sheet]) -> list[str]:
    return [one.id for one in sheets]


def put(folder: Path, *sheets: Sheet) -> Path:
    for one in sheets:
        (folder / f"critsheet-{one.id}").mkdir()
        save(one, folder / f"critsheet-{one.id}" / "sheet.json")
    return folder


def test_a_folder_gives_its_sheets_in_order_of_submission(tmp_path: Path) -> None:
    put(tmp_path, handed_in(10, "a"), handed_in(2, "b"), handed_in(1, "c"))
    assert ids(read_sheets(tmp_path)) == ["sc", "sb", "sa"]


def test_without_numbers_the_order_is_that_of_making(tmp_path: Path) -> None:
    put(tmp_path, handed_in(None, "a", "2026-03-01T10:00:00Z"), handed_in(1, "b", "2026-02-01T10:00:00Z"))
    assert ids(read_sheets(tmp_path)) == ["sb", "sa"]


def test_a_folder_may_be_one_sheets_own_or_hold_sheets_and_other_files(tmp_path: Path) -> None:
    put(tmp_path, handed_in(1, "a"))
    assert ids(read_sheets(tmp_path / "critsheet-sa")) == ["sa"]
    save(handed_in(2, "b"), tmp_path / "second pass.json")
    (tmp_path / "ticks-sa.json").write_text('{"schema": "critsheet-ticks/1"}')
    (tmp_path / "talk.json").write_text("{")
    (tmp_path / "notes").mkdir()
    assert ids(read_sheets(tmp_path)) == ["sa", "sb"]


def test_of_one_recording_the_sheet_made_last_counts(tmp_path: Path) -> None:
    again = handed_in(1, "a", "2026-01-02T10:00:00Z").model_copy(update={"id": "sx"})
    put(tmp_path, handed_in(1, "a"), again)
    assert ids(read_sheets(tmp_path)) == ["sx"]


def test_a_folder_without_sheets_a_damaged_and_a_newer_one_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no sheet"):
        read_sheets(tmp_path)
    with pytest.raises(InputError, match="Cannot read"):
        read_sheets(tmp_path / "nowhere")
    put(tmp_path, one := handed_in(1, "a"))
    file = tmp_path / "critsheet-sa" / "sheet.json"
    for text, says in ((to_json(one)[:200], "not a whole sheet"), ('{"schema": "critsheet/2"}', "another version")):
        file.write_text(text)
        with pytest.raises(SheetError, match=says):
            read_sheets(tmp_path)


def previous(folder: Path, now: Sheet, names: tuple[str, ...] = ("Osk",)) -> list[Sheet]:
    return read_previous(folder, now.review, now.shot or Shot(), names)


def test_the_sheet_at_hand_and_later_ones_are_not_before_it(tmp_path: Path) -> None:
    now = handed_in(2, "b")
    put(tmp_path, handed_in(1, "a"), now, handed_in(3, "c"))
    assert ids(previous(tmp_path, now)) == ["sa"]


def test_its_own_sheet_or_a_later_one_alone_is_refused(tmp_path: Path) -> None:
    now = handed_in(2, "b")
    put(tmp_path, now, handed_in(3, "c"))
    with pytest.raises(InputError, match="this very recording"):
        previous(tmp_path / "critsheet-sb" / "sheet.json", now)
    with pytest.raises(InputError, match="submission 3, which is not before 2"):
        previous(tmp_path / "critsheet-sc" / "sheet.json", now)


@pytest.mark.parametrize(
    ("other", "says"),
    [
        ({"names": ["Perla", "Gaspard"]}, "speaks of Perla, Gaspard, not of Osk"),
        ({"student": "Ines"}, "for Ines, not for Jon"),
        ({"shot": {"first": 1001, "last": 1088}}, "counts frames 1001–1088, not 101–188"),
    ],
)
def test_a_sheet_of_another_shot_is_refused_with_what_differs(tmp_path: Path, other: dict[str, Any], says: str) -> None:
    put(tmp_path, handed_in(1, "a", **other))
    with pytest.raises(InputError, match=says):
        previous(tmp_path, handed_in(2, "b", student="Jon"))


@pytest.mark.parametrize(
    "other",
    [
        {"names": ["the osk", "Tibby"]},
        {"names": []},
        {"student": "jon"},
        {"shot": {"first": 101, "last": 195}},
        {"shot": {"fps": "25"}},
    ],
)
def test_a_shot_may_grow_and_what_was_left_open_is_taken_to_be_the_same(tmp_path: Path, other: dict[str, Any]) -> None:
    put(tmp_path, handed_in(1, "a", **other))
    assert ids(previous(tmp_path, handed_in(2, "b", student="Jon"))) == ["sa"]


def test_a_history_is_of_one_shot() -> None:
    check_one_shot([handed_in(1, "a"), handed_in(2, "b")])
    with pytest.raises(InputError, match="another shot"):
        check_one_shot([handed_in(1, "a"), handed_in(2, "b", names=["Perla"])])
