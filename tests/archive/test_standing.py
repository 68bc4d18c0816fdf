"""How a note stands follows from ticks and from what later reviews say, in whatever order they are filed."""

from collections.abc import Iterator
from itertools import permutations

import pytest
from invented_reviews import before, note, review, ticked

from critsheet import vocabulary
from critsheet.archive.filing import file, now, prepare
from critsheet.archive.listing import remove
from critsheet.archive.opening import Archive, open_archive
from critsheet.archive.searching import search
from critsheet.archive.wanted import Wanted
from critsheet.sheet import Sheet

PACK = vocabulary.load()
FOOT, ARMS, HEAD = note("Plant the left foot"), note("Break up the arms"), note("Delay the head")
PRAISE = note("Keep the look before the lift", kind="keep")
FIRST = review(FOOT, ARMS, HEAD, PRAISE, recording="osk-1", made="2026-03-02T10:00:00Z", submission=1)
SECOND = review(
    note("Plant the left foot for good", followup="repeated"),
    recording="osk-2",
    made="2026-03-09T10:00:00Z",
    submission=2,
    previous=["s-osk-1"],
    earlier=[before(FOOT, "repeated"), before(ARMS, "resolved"), before(HEAD, "not mentioned")],
)
THIRD = review(
    note("Lift the chin"),
    recording="osk-3",
    made="2026-03-16T10:00:00Z",
    submission=3,
    previous=["s-osk-2"],
    earlier=[before(SECOND.notes[0], "resolved"), before(HEAD, "resolved")],
)
STANDING = {
    "Plant the left foot": "again",
    "Break up the arms": "solved",
    "Delay the head": "solved",
    "Keep the look before the lift": "praise",
    "Plant the left foot for good": "solved",
    "Lift the chin": "open",
}


@pytest.fixture
def archive(archive_place: str) -> Iterator[Archive]:
    with open_archive(archive_place, create=True, writing=True) as opened:
        yield opened


def add(archive: Archive, *sheets: Sheet) -> None:
    for sheet in sheets:
        archive.write(lambda connection, sheet=sheet: file(connection, prepare(sheet, PACK), None, now()))  # type: ignore[misc]


def standing(archive: Archive) -> dict[str, str]:
    return {hit.action.text: hit.status for hit in search(archive, "", Wanted(student="Tamsin Okoro"), PACK).hits}


def test_a_review_alone_leaves_everything_open_but_praise(archive: Archive) -> None:
    add(archive, FIRST)
    assert standing(archive) == dict.fromkeys(STANDING.keys() & standing(archive).keys(), "open") | {
        "Keep the look before the lift": "praise"
    }


@pytest.mark.parametrize(
    "order", list(permutations((FIRST, SECOND, THIRD))), ids=lambda order: "-".join(s.id for s in order)
)
def test_later_reviews_tell_what_became_of_it(archive: Archive, order: tuple[Sheet, ...]) -> None:
    add(archive, *order)
    assert standing(archive) == STANDING


def test_a_later_review_taken_out_says_nothing_any_more(archive: Archive) -> None:
    add(archive, FIRST, SECOND)
    remove(archive, [2])
    assert standing(archive)["Break up the arms"] == "open"


def test_a_correction_of_a_later_review_is_taken_in(archive: Archive) -> None:
    add(archive, FIRST, SECOND)
    nothing = {"earlier": (before(ARMS, "not mentioned"),), "corrected": "2026-03-10T10:00:00Z"}
    add(archive, SECOND.model_copy(update=nothing))
    assert standing(archive)["Break up the arms"] == "open"


def test_a_tick_is_the_students_word(archive: Archive) -> None:
    add(archive, review(ticked(FOOT, "2026-03-05T10:00:00Z")))
    assert standing(archive) == {"Plant the left foot": "done"}
