"""What a mentor suggests, as what a student does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet.notes.imperatives import imperative, suggestion_in


@pytest.mark.parametrize(
    ("said", "done"),
    [
        ("I would keep those closed until he turns", "keep those closed until he turns"),
        ("so I'd just drop the hips a hair", "drop the hips a hair"),
        ("you could delay the head two frames", "delay the head two frames"),
        ("maybe you want to offset the hands", "offset the hands"),
        ("let's lock the camera off", "lock the camera off"),
        ("see if you can get a blink in there", "get a blink in there"),
        ("the hips need to lead", "have the hips lead"),
        ("they should arrive later", "have them arrive later"),
        ("it needs to be slower", "make it slower"),
        ("the landing wants more weight", "give the landing more weight"),
        ("I want her to look before she turns", "have her look before she turns"),
        ("I'd love to see more drag on the wrist", "show more drag on the wrist"),
        ("give me a beat before the turn", "show a beat before the turn"),
        ("plant it", "plant it"),
        ("don't lose the lean", "don't lose the lean"),
        ("okay, so, just roll the foot off the heel", "roll the foot off the heel"),
    ],
)
def test_a_suggestion_becomes_a_command(said: str, done: str) -> None:
    assert imperative(said) == done


@pytest.mark.parametrize(
    "said",
    [
        "I would say it's nice",
        "I'd love it",
        "you can see it here",
        "there's a pop in the knee",
        "let me scrub back",
        "look at this one",
        "the left foot slides",
        "he turns and looks at the door",
    ],
)
def test_what_suggests_nothing_gives_no_command(said: str) -> None:
    assert imperative(said) is None


def test_a_remedy_is_found_behind_its_fault_in_one_breath() -> None:
    found = suggestion_in("the foot is sliding all the way so I'd plant it till he lifts it")
    assert found == ("the foot is sliding all the way", "plant it till he lifts it")


@given(st.text(alphabet="abcdefgh' ,.", max_size=60))
def test_any_text_can_be_asked(text: str) -> None:
    imperative(text)
    suggestion_in(text)
