"""Which remarks make a note."""

from critsheet.notes.drafts import GOES_ON, NONE, STARTS, stretches


def test_a_run_of_one_kind_is_one_note() -> None:
    assert stretches([NONE, f"{STARTS} fix", f"{GOES_ON} fix", NONE]) == [("fix", [1, 2])]


def test_two_issues_in_one_breath_are_two_notes() -> None:
    labels = [f"{STARTS} fix", f"{GOES_ON} fix", f"{STARTS} fix"]
    assert stretches(labels) == [("fix", [0, 1]), ("fix", [2])]


def test_praise_that_turns_into_a_fault_is_a_keep_and_a_fix() -> None:
    assert stretches([f"{STARTS} keep", f"{GOES_ON} fix"]) == [("keep", [0]), ("fix", [1])]


def test_chatter_in_between_ends_a_note() -> None:
    labels = [f"{STARTS} fix", NONE, f"{GOES_ON} fix"]
    assert stretches(labels) == [("fix", [0]), ("fix", [2])]


def test_no_remark_is_a_note_where_nothing_was_asked_for() -> None:
    assert stretches([NONE, NONE]) == []
