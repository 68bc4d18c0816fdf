"""What the next sheet says of the notes that were open."""

from typing import Any

from critique_pairs import pack, sheet

from critsheet.history import in_turn, take_up
from critsheet.labels import Done
from critsheet.sheet import Note, Sheet

NAMES = ["Osk", "Tibby"]
FOOT = {
    "category": "contact",
    "subject": "Osk",
    "body": ["foot"],
    "frames": [[118, 124]],
    "said": "The back foot slides from 118 to 124. Plant it.",
    "action": "Plant Osk's back foot from 118 to 124.",
}
FOOT_AGAIN = {**FOOT, "said": "The foot still slides at 120.", "action": "Plant Osk's foot at 120."}
FOOT_FINE = {
    **FOOT,
    "kind": "keep",
    "said": "The foot is planted now at 120, no sliding.",
    "action": "Keep Osk's foot planted.",
}
BLINK = {
    "category": "eyes",
    "subject": "Tibby",
    "body": ["lids"],
    "said": "Tibby needs a blink on the turn.",
    "action": "Put a blink on Tibby's turn.",
}


def submission(number: int | None, *said: Any, **more: Any) -> Sheet:
    return sheet(list(said), NAMES, submission=number, **more)


def after(*earlier: Sheet, now: Sheet) -> Sheet:
    return take_up(now, earlier, pack())


def changed(one: Sheet, note_id: str, **fields: Any) -> Sheet:
    def each(note: Note) -> Note:
        return note.model_copy(update=fields) if note.id == note_id else note

    return one.model_copy(update={"notes": tuple(map(each, one.notes))})


def test_without_an_earlier_sheet_nothing_is_said_of_one() -> None:
    now = submission(2, {"n1": FOOT})
    assert after(now=now) == now


def test_a_fault_that_is_still_there_is_repeated_and_points_to_the_note_that_says_so() -> None:
    now = after(submission(1, {"n1": FOOT}, {"n2": BLINK}), now=submission(2, {"n7": FOOT_AGAIN}))
    repeated, blink = now.earlier
    assert (repeated.outcome, repeated.note, repeated.raised, repeated.submission) == ("repeated", "n7", 2, 1)
    assert (blink.outcome, blink.note, blink.raised) == ("not mentioned", None, 1)
    assert now.notes[0].followup == "repeated"
    assert now.notes[0].reasons == ("asked for before and still open",)


def test_praise_of_what_was_asked_for_resolves_it() -> None:
    now = after(submission(1, {"n1": FOOT}), now=submission(2, {"n1": FOOT_FINE}))
    assert (now.earlier[0].outcome, now.notes[0].followup, now.notes[0].reasons) == ("resolved", "resolved", ())


def test_a_note_raised_three_times_in_a_row_says_so() -> None:
    first, second = submission(1, {"n1": FOOT}), submission(2, {"n1": FOOT_AGAIN})
    for second_as_given in (second, after(first, now=second)):
        now = after(first, second_as_given, now=submission(3, {"n1": FOOT_AGAIN}))
        assert now.earlier[0].raised == 3
        assert now.notes[0].reasons == ("raised 3 times in a row",)


def test_the_sheet_before_alone_knows_what_came_before_it() -> None:
    second = after(submission(1, {"n1": FOOT}, {"n2": BLINK}), now=submission(2, {"n1": FOOT_AGAIN}))
    now = after(second, now=submission(3, {"n1": FOOT_AGAIN}))
    assert [(one.category, one.raised, one.submission) for one in now.earlier] == [("contact", 3, 2), ("eyes", 1, 1)]


def test_a_submission_in_which_nobody_mentioned_it_breaks_the_row() -> None:
    quiet = after(submission(1, {"n1": FOOT}), now=submission(2, "Nothing on this today."))
    now = after(quiet, now=submission(3, {"n1": FOOT_AGAIN}))
    assert (now.earlier[0].outcome, now.earlier[0].raised) == ("repeated", 1)


def test_two_mentors_on_one_submission_raise_it_once() -> None:
    now = after(submission(2, {"n1": FOOT}), now=submission(2, {"n1": FOOT_AGAIN}))
    assert now.earlier[0].raised == 1


def test_what_is_solved_is_not_carried_on() -> None:
    second = after(submission(1, {"n1": FOOT}), now=submission(2, {"n1": FOOT_FINE}))
    assert after(second, now=submission(3, {"n1": BLINK})).earlier == ()


def test_a_keep_and_a_note_found_mended_leave_nothing_open() -> None:
    keep = {**BLINK, "kind": "keep"}
    mended = {**FOOT, "followup": "resolved"}
    assert after(submission(1, {"n1": keep}, {"n2": mended}), now=submission(2, {"n1": FOOT_AGAIN})).earlier == ()


def test_a_plan_is_for_one_pass_unless_the_mentor_comes_back_to_it() -> None:
    plan = {"kind": "plan", "category": "workflow", "said": "Film yourself lifting a heavy crate as reference."}
    first = submission(1, {"n1": plan})
    assert after(first, now=submission(2, {"n1": BLINK})).earlier == ()
    asked = {**plan, "followup": "repeated", "said": "You still haven't filmed a reference of the heavy crate."}
    assert after(first, now=submission(2, {"n1": asked})).earlier[0].outcome == "repeated"


def test_the_students_tick_stands_beside_what_the_mentor_says_now() -> None:
    done = Done(at="2026-01-01T12:00:00Z", comment="at frame 42")
    first = changed(submission(1, {"n1": FOOT}), "n1", done=done)
    now = after(first, now=submission(2, {"n1": FOOT_AGAIN}))
    assert (now.earlier[0].outcome, now.earlier[0].done) == ("repeated", done)


def test_what_the_mentor_says_of_a_note_is_never_turned_round() -> None:
    said_new = {**FOOT_AGAIN, "followup": "resolved"}
    now = after(submission(1, {"n1": FOOT}), now=submission(2, {"n1": said_new}))
    assert (now.notes[0].followup, now.earlier[0].outcome) == ("resolved", "resolved")
    assert now.earlier[0].doubt


def test_a_note_that_the_mentor_marked_as_new_takes_up_nothing() -> None:
    now = changed(submission(2, {"n1": {**FOOT_AGAIN, "said": "The foot slides at 120."}}), "n1", by_hand=("followup",))
    told = after(submission(1, {"n1": FOOT}), now=now)
    assert (told.earlier[0].outcome, told.notes) == ("not mentioned", now.notes)


def test_a_doubtful_match_is_a_doubt_and_labels_nothing() -> None:
    other = {"category": "contact", "subject": "Osk", "body": ["foot"], "said": "He should roll through the toes here."}
    now = after(submission(1, {"n1": FOOT}), now=submission(2, {"n1": other}))
    assert now.earlier[0].doubt
    assert now.notes[0].followup is None
    assert any("Plant Osk's back foot" in doubt for doubt in now.notes[0].doubts)


def test_the_same_fault_of_another_character_is_another_note() -> None:
    tibby = {**FOOT_AGAIN, "subject": "Tibby", "frames": [], "said": "Tibby's foot slides."}
    assert after(submission(1, {"n1": FOOT}), now=submission(2, {"n1": tibby})).earlier[0].outcome == "not mentioned"


def test_a_word_in_passing_counts_where_no_note_takes_it_up() -> None:
    now = after(submission(1, {"n1": FOOT}), now=submission(2, "And the foot at 120, you fixed the sliding."))
    assert (now.earlier[0].outcome, now.earlier[0].note) == ("resolved", None)


def test_all_done_resolves_everything_that_nothing_else_is_said_of_as_a_doubt() -> None:
    first = submission(1, {"n1": FOOT}, {"n2": BLINK})
    now = after(first, now=submission(2, "You've done all my notes from last week.", {"n1": FOOT_AGAIN}))
    assert [(one.outcome, bool(one.doubt)) for one in now.earlier] == [("repeated", False), ("resolved", True)]
    almost = submission(2, "You've done almost all my notes from last week.")
    assert {one.outcome for one in after(first, now=almost).earlier} == {"not mentioned"}


def test_a_sheet_made_again_says_the_same_once() -> None:
    now = after(submission(1, {"n1": FOOT}), now=submission(2, {"n1": FOOT_AGAIN}))
    assert after(submission(1, {"n1": FOOT}), now=now) == now


def test_sheets_that_tell_already_stay_as_they_are() -> None:
    first = submission(1, {"n1": FOOT})
    second = after(first, now=submission(2, {"n1": FOOT_AGAIN}))
    set_by_hand = second.model_copy(update={"earlier": (second.earlier[0].model_copy(update={"outcome": "resolved"}),)})
    assert in_turn([first, set_by_hand], pack())[1] == set_by_hand
