"""The history of a shot: which notes came, stayed and went."""

from collections.abc import Sequence

from critique_pairs import pack, sheet
from test_taking_up import BLINK, FOOT, FOOT_AGAIN, FOOT_FINE, NAMES

from critsheet.history import ShotHistory, in_turn, shot_history
from critsheet.sheet import Sheet

PLAN = {"kind": "plan", "category": "workflow", "said": "Film yourself as reference first."}


def history(*said: Sequence[object]) -> ShotHistory:
    sheets: list[Sheet] = [sheet(list(each), NAMES, submission=place) for place, each in enumerate(said, 1)]
    return shot_history(in_turn(sheets, pack()))


def course(told: ShotHistory) -> dict[str, list[str]]:
    return {one.action: [step.what if step else "" for step in one.steps] for one in told.notes}


def test_a_note_comes_stays_and_goes() -> None:
    told = history([{"n1": FOOT}], [{"n1": FOOT_AGAIN}, {"n2": BLINK}], [{"n1": FOOT_FINE}])
    assert course(told) == {
        "Plant Osk's foot at 120.": ["new", "repeated", "resolved"],
        "Put a blink on Tibby's turn.": ["", "new", "not mentioned"],
    }
    assert [(one.open, one.raised) for one in told.notes] == [(False, 2), (True, 1)]


def test_a_note_solved_once_and_asked_for_again_is_a_new_one() -> None:
    told = history([{"n1": FOOT}], [{"n1": FOOT_FINE}], [{"n1": FOOT_AGAIN}])
    assert list(course(told).values()) == [["new", "resolved", ""], ["", "", "new"]]


def test_a_plan_ends_with_its_pass() -> None:
    told = history([{"n1": PLAN}], ["Nothing today."])
    assert list(course(told).values()) == [["new", ""]]
    assert not told.notes[0].open


def test_two_notes_of_the_same_words_stay_two() -> None:
    told = history([{"n1": FOOT}, {"n2": FOOT}], ["Nothing today."])
    assert [[step.what if step else "" for step in one.steps] for one in told.notes] == [["new", "not mentioned"]] * 2


def test_a_note_whose_sheet_was_reworded_since_keeps_its_step() -> None:
    first, second = in_turn(
        [sheet([{"n1": FOOT}], NAMES, submission=1), sheet([{"n1": FOOT_AGAIN}], NAMES, submission=2)], pack()
    )
    reworded = first.model_copy(update={"notes": (first.notes[0].model_copy(update={"action": "Pin the foot."}),)})
    told = shot_history([reworded, second])
    assert ["", "repeated"] in course(told).values()


def test_one_sheet_and_an_empty_one_have_a_history_too() -> None:
    assert course(history([{"n1": FOOT}])) == {FOOT["action"]: ["new"]}
    assert history(["Nothing."]).notes == ()
