"""What is found in speech, and how findings give way to each other."""

import pytest

from critsheet.language.terms import find, find_body
from critsheet.vocabulary import Vocabulary
from critsheet.vocabulary.stems import stem


def categories(sentence: str, pack: Vocabulary) -> set[str]:
    return {finding.category for finding in find(sentence.split(), pack) if finding.category}


def functions(sentence: str, pack: Vocabulary) -> set[str]:
    return {finding.function for finding in find(sentence.split(), pack) if finding.category is None}


def test_a_finding_names_its_rule_and_the_words(pack: Vocabulary) -> None:
    words = ["Well", ",", "the", "left", "foot", "is", "sliding", "."]
    finding = next(found for found in find(words, pack) if found.category == "contact")
    assert (finding.function, words[finding.start : finding.end]) == ("fault", ["foot", "is", "sliding"])
    assert finding.text == "foot is sliding"
    assert finding.rule.startswith("contact/fault: ")


def test_punctuation_and_case_change_nothing(pack: Vocabulary) -> None:
    plain = {found.rule for found in find("the knee pops and the elbow flips".split(), pack)}
    dressed = {found.rule for found in find("The KNEE pops, and the elbow flips!".split(), pack)}
    assert plain == dressed


def test_a_longer_phrase_displaces_the_word_inside_it(pack: Vocabulary) -> None:
    assert categories("the line weight is uneven", pack) == {"appeal"}
    assert "weight" in categories("there is no weight in it", pack)


@pytest.mark.parametrize(
    ("sentence", "category"),
    [
        ("it floats off the ground", "contact"),
        ("the jump floats at the apex and has no gravity", "weight"),
        ("it just floats into that pose", "spacing"),
        ("her knee pops", "limbs"),
        ("his brow pops", "face"),
        ("the middle of it drags and it is too slow", "timing"),
        ("drag the tail", "secondary"),
        ("everything comes to a dead stop together", "overlap"),
        ("his marble eyes", "eyes"),
    ],
)
def test_an_ambiguous_word_is_decided_by_what_stands_near(sentence: str, category: str, pack: Vocabulary) -> None:
    assert category in categories(sentence, pack)


def test_pops_alone_says_nothing_about_knees(pack: Vocabulary) -> None:
    assert "limbs" not in categories("that really pops", pack)


@pytest.mark.parametrize(
    ("sentence", "function"),
    [
        ("scratch that", "retraction"),
        ("no wait it's fine", "retraction"),
        ("this is the biggest thing", "must"),
        ("total nitpick", "could"),
        ("if you've got time", "could"),
        ("same thing here", "repeat_here"),
        ("let me scrub back", "chatter"),
        ("you fixed the hips", "resolved"),
        ("we talked about this last week", "repeated"),
        ("across all your shots", "habit"),
        ("don't touch that", "keep"),
        ("right at the end", "place_end"),
        ("before anything else", "order"),
        ("next time send me the front view", "plan"),
        ("see you next week", "signoff"),
        ("on my show the client said", "others"),
        ("that said", "turn"),
    ],
)
def test_cues_tell_what_a_remark_does(sentence: str, function: str, pack: Vocabulary) -> None:
    assert function in functions(sentence, pack)


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("his heel", "foot"),
        ("the ball of her foot", "foot"),
        ("her pelvis", "hips"),
        ("the center of gravity", "hips"),
        ("that thumb", "fingers"),
        ("a blink", "lids"),
        ("his eyebrows", "brows"),
        ("the rib cage", "chest"),
        ("she arches her back", "spine"),
        ("the chin", "jaw"),
        ("his front paw", "hand"),
        ("the hooves", "foot"),
        ("those feathers", "wings"),
    ],
)
def test_body_parts_have_many_names(words: str, part: str, pack: Vocabulary) -> None:
    assert part in {found.part for found in find_body(words.split(), pack)}


@pytest.mark.parametrize("words", ["his back foot", "face the camera", "on the other hand", "head off to the left"])
def test_a_word_is_no_body_part_where_it_means_something_else(words: str, pack: Vocabulary) -> None:
    assert not {"spine", "face", "hand", "head"} & {found.part for found in find_body(words.split(), pack)}


@pytest.mark.parametrize(
    ("said", "base"),
    [("slid", "slide"), ("feet", "foot"), ("held", "hold"), ("bent", "bend"), ("favourite", "favourites"),
     ("centred", "center"), ("sliding", "slides"), ("swung", "swinging")],
)  # fmt: skip
def test_forms_of_one_word_share_a_stem(said: str, base: str) -> None:
    assert stem(said) == stem(base)


@pytest.mark.parametrize(
    ("one", "other"), [("faster", "fast"), ("easy", "ease"), ("position", "pose"), ("left", "leave")]
)
def test_words_that_mean_something_else_keep_their_own_stem(one: str, other: str) -> None:
    assert stem(one) != stem(other)
