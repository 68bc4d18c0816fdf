"""Different ways of saying one thing are one group, and different things stay apart."""

from pathlib import Path

import pytest

from critsheet import vocabulary
from critsheet.errors import VocabularyError
from critsheet.language.terms import find_synonyms

PACK = vocabulary.load()


def groups(sentence: str, pack: vocabulary.Vocabulary = PACK) -> set[str]:
    return {found.group for found in find_synonyms(sentence.split(), pack)}


@pytest.mark.parametrize(
    ("group", "ways"),
    [
        ("foot-slide", ["skating", "the left foot slides", "her boot is drifting a touch", "nail that heel"]),
        ("weightless", ["floaty", "there is no weight in it", "it goes up like a balloon", "more weight"]),
        ("knee-pop", ["knee pop", "the leg snaps straight", "the elbow locks", "hyperextended"]),
        ("twinning", ["twinning", "both arms do the same", "it is very symmetrical", "arms are mirrored"]),
        ("everything-stops-together", ["it all stops on the same frame", "offset the head", "like a statue"]),
        ("dead-eyes", ["his eyes look dead", "glassy stare", "eye darts"]),
        ("missing-anticipation", ["no anticipation", "it comes out of nowhere", "add a wind-up"]),
        ("ease-out-and-in", ["ease in", "cushion it", "he runs into a wall", "it is linear"]),
        ("too-even", ["even timing", "like a metronome", "everything at the same speed"]),
        ("penetration", ["the fingers go through the cup", "intersection", "clipping"]),
        ("broken-arc", ["the arc is broken", "there is a kink in the path", "track the wrist"]),
        ("mouth-shapes", ["phonemes", "mouth shapes", "every syllable"]),
        ("stiff-hands", ["mitten hands", "the fingers are like a fork", "hands like paddles"]),
        ("line-of-action", ["line of action", "bolt upright", "curve the spine"]),
    ],
)
def test_mentors_say_it_in_many_ways(group: str, ways: list[str]) -> None:
    assert [way for way in ways if group not in groups(way)] == []


@pytest.mark.parametrize(
    ("group", "other"),
    [
        ("foot-slide", "slide the pose back a frame"),
        ("foot-slide", "he puts his foot down"),
        ("knee-pop", "make the colours pop"),
        ("weightless", "the camera floats about"),
        ("thinking", "I think that is good"),
        ("dead-eyes", "he is dead quick there"),
        ("penetration", "walk through the door frame by frame with me"),
        ("blinks", "her eyes are wide open"),
    ],
)
def test_another_thing_is_no_synonym(group: str, other: str) -> None:
    assert group not in groups(other)


def test_it_says_which_words() -> None:
    (found,) = find_synonyms("Look, his feet are skating a bit.".split(), PACK)[:1]
    assert (found.start, found.end) == (2, 5)


def test_a_school_adds_its_own(tmp_path: Path) -> None:
    (tmp_path / "synonyms.yaml").write_text("foot-slide:\n  - gone to kip\ndithering:\n  - dither\n")
    school = vocabulary.load((tmp_path,))
    assert "foot-slide" in groups("the foot has gone to kip", school)
    assert "foot-slide" in groups("skating", school)
    assert groups("he is dithering", school) == {"dithering"}


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("Foot Slide:\n  - skate\n", "synonyms.yaml:2: 'Foot Slide' is not a name for a group"),
        ("foot-slide: skate\n", "synonyms.yaml:1: foot-slide should be a list"),
        ("foot-slide:\n  - skate\n  - skate\n", "already on line 2"),
        ("foot-slide:\n  - ~paws slide\n", "'~paws' is unknown"),
    ],
)
def test_a_mistake_is_told_with_its_line(tmp_path: Path, written: str, said: str) -> None:
    (tmp_path / "synonyms.yaml").write_text(written)
    with pytest.raises(VocabularyError) as error:
        vocabulary.load((tmp_path,))
    assert said in str(error.value)
