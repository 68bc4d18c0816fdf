"""Actions: what was said, as something to do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from talk import spoken

from critsheet import vocabulary
from critsheet.language import read
from critsheet.notes.about import About
from critsheet.notes.drafts import Draft
from critsheet.notes.labels import Labels
from critsheet.notes.parts import parts_meant
from critsheet.notes.wording import MAX_WORDS, action, at_frames
from critsheet.remedies import without_remedy
from critsheet.sheet import Category, FrameRange, Kind, Shot, Strength

PACK = vocabulary.load()
SHOT = Shot(first=101, last=188)


def action_of(
    text: str,
    kind: Kind = "fix",
    strength: Strength | None = "should",
    names: tuple[str, ...] = (),
    category: Category = "timing",
) -> str:
    remarks = tuple(read(spoken(text), PACK, SHOT, names))
    note = About(Draft(kind, (remarks,), 1.0))
    frames = tuple(FrameRange(first=f.first, last=f.last) for remark in remarks for f in remark.frames)
    subject = names[0] if names else None
    label = Labels(category, 1.0, (), "moment", strength, None, None, parts_meant(note), subject)
    return action(note, label, frames, names)


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("I would plant the back foot until he lifts it.", "Plant the back foot until he lifts it."),
        (
            "The eyelids flutter. I would keep them closed until the turn.",
            "Keep the eyelids closed until the turn (the eyelids flutter).",
        ),
        ("The camera drifts. Lock it off.", "Lock the camera off (the camera drifts)."),
        ("The tail is stiff. The hat slides. Pin it down.", "Pin the hat down (the hat slides)."),
        (
            "Before you touch a key, film yourself on the stairs.",
            "Before you touch a key, film yourself on the stairs.",
        ),
        ("Shouldn't the elbows go first?", "Have the elbows go first."),
    ],
)
def test_a_fix_says_what_to_do(said: str, written: str) -> None:
    assert action_of(said) == written


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("The left knee pops.", "Fix the left knee: it pops."),
        ("His shoulders are too high.", "Fix his shoulders: they are too high."),
        ("At frame one twenty the left knee pops.", "Fix the left knee at 120: it pops."),
        ("It's the same all the way through, isn't it?", "Fix the timing: it's the same all the way through."),
        ("There's a bump in the elbow, mate.", "Fix the elbow: there's a bump in the elbow."),
    ],
)
def test_a_fault_without_a_remedy_stays_one_and_says_what_it_is_about(said: str, written: str) -> None:
    assert action_of(said) == written
    assert without_remedy(written)


def test_a_remedy_that_begins_with_fix_is_a_remedy() -> None:
    assert not without_remedy(action_of("Fix the loop before you send it."))
    assert without_remedy("If there is time, fix the hat: it pops.")


def test_what_it_is_about_has_its_owner_where_there_is_one_character() -> None:
    assert action_of("Don't let it quite straighten.", names=("Osk",)) == "Osk's timing: don't let it quite straighten."
    said = "He's leaning on nothing. There's a gap under the hand."
    assert action_of(said, names=("Osk",)).startswith("Fix Osk's hand: ")


def test_a_keep_says_what_to_keep() -> None:
    assert action_of("I love the little pause before the turn.", "keep") == "Keep the little pause before the turn."
    assert action_of("The landing is really solid.", "keep") == "Keep the landing."
    assert action_of("I like that she never looks back.", "keep") == "Keep how she never looks back."
    assert action_of("He tips in when he goes round. Keep that.", "keep") == "Keep how he tips in when he goes round."
    assert action_of("You've got this lovely arc on the sleeve.", "keep") == "Keep the lovely arc on the sleeve."


def test_a_keep_tells_nothing_of_the_mentor_or_of_last_time() -> None:
    said = "The hands are lovely. I cried. Last time they were mittens."
    assert action_of(said, "keep") == "Keep the hands."


def test_a_plan_reads_as_an_order_of_work() -> None:
    said = "First the pole, then the hand, then the hips, then all the rest."
    assert action_of(said, "plan") == "Work in this order: the pole, then the hand, then the hips, then all the rest."
    said = "The swing. Then your starts and stops. Then the face."
    assert action_of(said, "plan") == "Work in this order: the swing, then your starts and stops, then the face."


def test_a_remedy_is_found_in_the_middle_of_talk_without_punctuation() -> None:
    said = "his hand on the rail is flat it's like a slice of ham close it round the rail i don't care which way"
    assert action_of(said) == "Close his hand round the rail (his hand on the rail is flat)."


def test_a_thing_stays_whole_with_what_tells_which_one_is_meant() -> None:
    assert (
        action_of("the rope that's tied on to it just hangs")
        == "Fix the timing: the rope that's tied on to it just hangs."
    )


def test_the_same_command_said_twice_is_written_once() -> None:
    assert action_of("Hide the arms. I mean it, hide the arms.") == "Hide the arms."


def test_what_trails_after_the_remedy_is_left_out() -> None:
    said = "The left heel slides. Plant it until the pass, and that's number one for me."
    assert action_of(said) == "Plant the left heel until the pass (the left heel slides)."


def test_a_simile_gives_way_to_the_plain_fault() -> None:
    assert action_of("The coat hangs off him like a wet towel.") == "Fix the coat: it hangs off him."
    assert action_of("It's like a board.") == "Fix the timing: it's like a board."


def test_asides_and_question_tags_are_left_out() -> None:
    assert action_of("I'd, you know, lift the chin a touch, mate.") == "Lift the chin a touch."
    assert action_of("The hat's floating, isn't it, mate?") == "Fix the hat: it's floating."


def test_what_a_remedy_is_for_stays_with_it() -> None:
    said = "turn the whole swing a little so it lands in the light"
    assert action_of(said) == "Turn the whole swing a little so it lands in the light."


def test_an_optional_note_says_so() -> None:
    said = "Nitpick, I would soften the hat a touch."
    assert action_of("The hat pops.", strength="could") == "If there is time, fix the hat: it pops."
    assert action_of(said, strength="could").startswith("If there is time, soften")


def test_the_only_character_gets_the_name() -> None:
    said = "I would have him look before the turn."
    assert action_of(said, names=("Osk",)) == "Have Osk look before the turn."
    assert action_of("Ease his knee in slowly.", names=("Osk",)) == "Ease Osk's knee in slowly."
    assert action_of(said, names=("courier",)) == "Have the courier look before the turn."


def test_her_is_an_owner_only_before_what_she_has() -> None:
    assert action_of("I want her leaving by then.", names=("Wenna",)) == "Have Wenna leaving by then."
    assert action_of("Lift her left hand a touch.", names=("Wenna",)) == "Lift Wenna's left hand a touch."


def test_of_two_characters_only_one_named_in_the_note_gets_the_pronoun() -> None:
    said = "I would have him look before the turn."
    assert action_of(said, names=("Osk", "Brill")) == "Have him look before the turn."


def test_long_talk_gives_a_short_action() -> None:
    said = "I would plant the foot " + "and then really hold it there for a long while " * 9 + "."
    assert len(action_of(said).split()) <= MAX_WORDS + 1


def test_frames_read_as_people_write_them() -> None:
    at = [FrameRange(first=42, last=42), FrameRange(first=110, last=118)]
    assert at_frames(at[:1]) == "at 42"
    assert at_frames(at[1:]) == "from 110 to 118"
    assert at_frames(at) == "at 42 and 110–118"


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.sampled_from("it he her the a foot hips slides let keep and when that's isn't , . ? \" 120".split())),
    st.sampled_from(["fix", "keep", "plan"]),
)
def test_whatever_is_said_gives_one_sentence(words: list[str], kind: Kind) -> None:
    written = action_of(" ".join(["knee", *words]), kind)
    assert written.endswith((".", "?", "!", "…"))
    assert "\n" not in written


def test_remedies_in_one_breath_stay_together() -> None:
    text = "His hips are way up over his toes. I would drop them right down and get his back curved."
    assert action_of(text).startswith("Drop his hips right down, and get his back curved")


def test_a_name_keeps_its_capital_in_an_optional_note() -> None:
    text = action_of(
        "Osk's elbow goes straight. Bend it a bit, only if you have time.", strength="could", names=("Osk",)
    )
    assert "osk" not in text
