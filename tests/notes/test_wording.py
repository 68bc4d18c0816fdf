"""Actions: what was said, as something to do."""

import pytest
from talk import spoken

from critsheet import vocabulary
from critsheet.language import read
from critsheet.notes.about import About
from critsheet.notes.drafts import Draft
from critsheet.notes.labels import Labels
from critsheet.notes.wording import MAX_WORDS, action, at_frames
from critsheet.sheet import FrameRange, Kind, Shot, Strength

PACK = vocabulary.load()
SHOT = Shot(first=101, last=188)


def action_of(text: str, kind: Kind = "fix", strength: Strength | None = "should", names: tuple[str, ...] = ()) -> str:
    remarks = tuple(read(spoken(text), PACK, SHOT, names))
    note = About(Draft(kind, (remarks,), 1.0))
    frames = tuple(FrameRange(first=f.first, last=f.last) for remark in remarks for f in remark.frames)
    label = Labels("contact", 1.0, (), "moment", strength, None, None, (), names[0] if names else None)
    return action(note, label, frames, names)


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("I would plant the back foot until he lifts it.", "Plant the back foot until he lifts it."),
        (
            "The eyelids flutter. I would keep them closed until the turn.",
            "Keep the eyelids closed until the turn (the eyelids flutter).",
        ),
        ("There's a drift on the camera. I'd lock it off.", "Lock it off (there's a drift on the camera)."),
        ("The left knee pops.", "Fix: the left knee pops."),
        (
            "At frame one twenty the left knee pops. Ease it through.",
            "Ease the left knee through (at frame 120, the left knee pops).",
        ),
        ("The camera drifts. Lock it off.", "Lock the camera off (the camera drifts)."),
    ],
)
def test_a_fix_says_what_to_do(said: str, written: str) -> None:
    assert action_of(said) == written


def test_a_keep_says_what_to_keep() -> None:
    assert (
        action_of("I love the little pause before the turn.", "keep", None) == "Keep the little pause before the turn."
    )
    assert action_of("The landing is really solid.", "keep", None) == "Keep the landing."
    assert action_of("I like that she never looks back.", "keep", None) == "Keep how she never looks back."


def test_a_remedy_is_found_in_the_middle_of_talk_without_punctuation() -> None:
    said = "his hand on the rail is flat it's like a slice of ham close it round the rail i don't care which way"
    assert action_of(said) == "Close his hand round the rail (his hand on the rail is flat)."


def test_what_trails_after_the_remedy_is_left_out() -> None:
    said = "The left heel slides. Plant it until the pass, and that's number one for me."
    assert action_of(said) == "Plant the left heel until the pass (the left heel slides)."


def test_a_simile_gives_way_to_the_plain_fault() -> None:
    assert action_of("The coat hangs off him like a wet towel.") == "Fix: the coat hangs off him."
    assert action_of("It's like a board.") == "Fix: it's like a board."


def test_what_a_remedy_is_for_stays_with_it() -> None:
    said = "turn the whole swing a little so it lands in the light"
    assert action_of(said) == "Turn the whole swing a little so it lands in the light."


def test_frames_are_written_as_digits_where_they_were_said() -> None:
    assert action_of("At one twenty the left knee pops.") == "Fix: at 120, the left knee pops."


def test_an_optional_note_says_so() -> None:
    said = "Nitpick, I would soften the hat a touch."
    assert action_of("The hat pops.", strength="could") == "If there is time, fix: the hat pops."
    assert action_of(said, strength="could").startswith("If there is time, soften")


def test_the_only_character_gets_the_name() -> None:
    said = "I would have him look before the turn."
    assert action_of(said, names=("Osk",)) == "Have Osk look before the turn."
    assert action_of("Ease his knee in slowly.", names=("Osk",)) == "Ease Osk's knee in slowly."
    assert action_of(said, names=("courier",)) == "Have the courier look before the turn."


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
