"""What a mentor suggests, as what a student does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet.notes.imperatives import imperative
from critsheet.notes.thoughts import thoughts


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
        ("what if he waits a beat", "see what happens if he waits a beat"),
        ("how about delaying the head", "delay the head"),
        ("I wonder if the cape could lean", "have the cape lean"),
        ("it may not travel", "don't let it travel"),
        ("I don't want to see the hinge", "don't show the hinge"),
        ("you don't need the blink", "do without the blink"),
        ("it wants to be heels first", "make it heels first"),
        ("it should be slower instead of even", "make it slower instead of even"),
        ("if you delay the head two frames", "delay the head two frames"),
        ("his feet could do with more weight", "give his feet more weight"),
        ("Head first, chest three frames behind", "have head first, chest three frames behind"),
        ("might it hang a bit further out", "have it hang a bit further out"),
        ("I want that she asks first", "make sure that she asks first"),
        ("I want there to be air under it", "show air under it"),
        ("there must be something before it", "have something before it"),
        ("more drag on the tail", "show more drag on the tail"),
        ("don't lose the lean", "don't lose the lean"),
        ("shouldn't the elbows go first", "have the elbows go first"),
        ("could he not just keep still", "have him keep still"),
        ("the eyes might want to get there first", "have the eyes get there first"),
        ("that wants pinning to the wall", "pin that to the wall"),
        ("the hand should be on the handle by 90", "have the hand on the handle by 90"),
        ("he should have some trouble with it", "give him some trouble with it"),
        ("I don't want to go closer", "don't go closer"),
        ("I'd rather have him stuck", "have him stuck"),
        ("before you touch a key, film yourself", "before you touch a key, film yourself"),
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
        "frame 36 the pole bends",
        "I want to show you this",
        "the arm doesn't have to be that long",
        "if you look at the knee",
        "I'd expect a blink",
        "he turns and looks at the door",
    ],
)
def test_what_suggests_nothing_gives_no_command(said: str) -> None:
    assert imperative(said) is None


def commands_in(clause: str) -> list[str]:
    made = [imperative(" ".join(words)) for words in thoughts(clause.split())]
    return [command for command in made if command]


def test_a_remedy_is_found_behind_its_fault_in_one_breath() -> None:
    said = "the foot is sliding all the way so I'd plant it till he lifts it"
    assert commands_in(said) == ["plant it till he lifts it"]


def test_a_command_is_found_where_a_bare_verb_cannot_be_what_the_word_before_does() -> None:
    assert commands_in("it's got a look of a dishwasher curl them down") == ["curl them down"]
    assert commands_in("in the turn the head leads and the hips follow the chest") == []
    assert commands_in("like somebody's elbow hit the table") == []


@pytest.mark.parametrize(
    "said",
    [
        "you could set your watch by them",
        "you have to save yourself",
        "you can always pull it back",
        "we don't need a round four",
        "I wonder if it's a smidge more restful than he's feeling",
        "have you ever watched one",
        "do we need him to shrug right at the end",
        "would you call that a curve",
        "go to 131",
        "that thing's gotta be what, six hundred pounds",
        "I'd written too slow",
        "you want us to come nearer",
        "tell your brother thanks",
    ],
)
def test_a_way_of_speaking_is_no_command(said: str) -> None:
    assert imperative(said) is None


@given(st.text(alphabet="abcdefgh' ,.", max_size=60))
def test_any_text_can_be_asked(text: str) -> None:
    imperative(text)
