"""What a mentor's correction of a note makes of the earlier note that it takes up."""

from critsheet.corrections import relabel
from critsheet.earlier import Earlier, set_straight
from critsheet.sheet import Note, Recording, Review, Sheet, Transcript

TAKEN_UP = Earlier(note="n1", action="Plant it.", category="contact", outcome="repeated", raised=3, doubt="unsure")


def sheet() -> Sheet:
    return Sheet(
        id="s2",
        made="2026-01-01T10:00:00Z",
        review=Review(title="Lift", recording=Recording(file="talk.wav", sha256="0" * 64, duration=1)),
        transcript=Transcript(language="en", segments=()),
        notes=(Note(id="n1", kind="fix", category="contact", moments=(), action="Plant the foot.", rank=1),),
        earlier=(TAKEN_UP,),
    )


def test_a_note_that_the_mentor_calls_mended_mends_the_earlier_one() -> None:
    (one,) = set_straight((TAKEN_UP,), "n1", "resolved")
    assert (one.outcome, one.raised, one.note, one.doubt) == ("resolved", 2, "n1", None)


def test_a_note_that_the_mentor_calls_new_takes_up_nothing() -> None:
    (one,) = set_straight((TAKEN_UP,), "n1", None)
    assert (one.outcome, one.raised, one.note) == ("not mentioned", 2, None)


def test_other_earlier_notes_are_left_alone() -> None:
    assert set_straight((TAKEN_UP,), "n2", "resolved") == (TAKEN_UP,)


def test_a_corrected_label_reaches_the_earlier_note_and_any_other_label_does_not() -> None:
    assert relabel(sheet(), "n1", followup="resolved").earlier[0].outcome == "resolved"
    assert relabel(sheet(), "n1", followup=None, subject="Osk").earlier == (TAKEN_UP,)
