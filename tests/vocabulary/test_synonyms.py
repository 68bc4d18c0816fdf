"""Ways of saying one thing are one group, and different things stay apart."""

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet import cli, vocabulary
from critsheet.errors import VocabularyError
from critsheet.language.terms import find_synonyms
from critsheet.vocabulary import Phrase, SynonymGroup, reader
from critsheet.vocabulary.check import problems
from critsheet.vocabulary.entries import CATEGORIES
from critsheet.vocabulary.matching import Speech
from critsheet.vocabulary.phrases import Gap, Row, Span, Word
from critsheet.vocabulary.tokens import BREAK, Token, stem_of

School = Callable[[dict[str, str]], Path]

PACK = vocabulary.load()


def groups(sentence: str, pack: vocabulary.Vocabulary = PACK) -> set[str]:
    return {found.group for found in find_synonyms(sentence.split(), pack)}


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("skating", "The left foot slides from 40 to 52."),
        ("foot slide", "Nail that heel to the floor."),
        ("knee pop", "Her leg snaps straight at 33."),
        ("knee pop", "Keep a little bend in the elbow."),
        ("float", "There is no weight in the landing."),
        ("floaty", "He goes up like a balloon."),
        ("twinning", "Both arms do the same thing."),
        ("twinning", "The pose is very symmetrical."),
        ("even timing", "Like a metronome, that."),
        ("hits a wall", "The hand stops dead."),
        ("no anticipation", "The throw comes out of nowhere."),
        ("freeze", "Give me a moving hold there."),
        ("overlap", "The wrist should drag."),
        ("everything stops at once", "Offset the arms by two frames."),
        ("arcs", "There's a kink in the path of the wrist."),
        ("mushy pose", "Push that pose."),
        ("gimbal", "The hand spins the long way round."),
        ("clipping", "The thumb goes through the handle."),
        ("dead eyes", "He has a glassy stare."),
        ("eyeline", "She looks past him."),
        ("lip sync", "The mouth is two frames late."),
        ("chattery mouth", "There's a shape on every syllable."),
        ("mitten hands", "The fingers are all stiff."),
        ("hammy", "The reaction is too big."),
        ("no thought", "I can't see her think."),
        ("upstaging", "The dog pulls the eye away."),
        ("camera drift", "Why is the camera pushing in here?"),
        ("spaghetti", "Clean up the graph editor."),
        ("off model", "That doesn't look like her."),
        ("dead cloth", "The cape doesn't move at all."),
        ("back to blocking", "It's too early for fingers."),
    ],
)
def test_what_is_typed_finds_what_was_said(typed: str, said: str) -> None:
    assert groups(typed) & groups(said)


@pytest.mark.parametrize(
    ("group", "other"),
    [
        ("foot-slide", "Slide the pose back a frame."),
        ("foot-slide", "Hold the pose a bit longer."),
        ("foot-slide", "The hand slides along the rail."),
        ("hits-a-wall", "He hits the wall with his fist."),
        ("hits-a-wall", "Hit the pose on forty."),
        ("weightless", "The camera floats up to the roof."),
        ("weightless", "Her dress floats behind her."),
        ("knee-pop", "Make the colours pop."),
        ("one-frame-pop", "The knee pops at 33."),
        ("one-frame-pop", "Her eyes pop open."),
        ("too-soft", "The knee snaps straight."),
        ("too-soft", "A mushy pose."),
        ("twinning", "He looks into the mirror."),
        ("even-timing", "The spacing is even."),
        ("dead-hold", "The expression is frozen."),
        ("stiff-body", "The fingers are stiff."),
        ("no-thought", "I was thinking about the light."),
        ("action-hidden", "Block the hands in next."),
        ("tangent", "Flatten the tangents in the curve."),
        ("intersection", "Walk through the door frame by frame with me."),
        ("no-breath", "Let the pose breathe."),
        ("line-of-action", "The hand goes in a straight line."),
    ],
)
def test_another_thing_is_no_synonym(group: str, other: str) -> None:
    assert group not in groups(other)


def test_the_trade_is_covered() -> None:
    counts = Counter(group.category for group in PACK.synonyms)
    assert len(PACK.synonyms) >= 60
    assert [category for category in CATEGORIES if counts[category] < 2] == []


@pytest.mark.parametrize("group", PACK.synonyms, ids=lambda group: group.id)
def test_a_group_is_explained_and_tried(group: SynonymGroup) -> None:
    assert group.meaning.endswith(".")
    assert len(group.phrases) >= 2
    assert any(example.expected for example in PACK.examples if example.group == group.id)


@pytest.mark.parametrize("group", PACK.synonyms, ids=lambda group: group.id)
def test_every_way_of_saying_it_finds_the_group(group: SynonymGroup) -> None:
    unheard = [
        f"{phrase.file}:{phrase.line}: {phrase.text}"
        for phrase in group.phrases
        for row in phrase.pattern.sequences
        if all(match.phrase.function != group.id for match in reader.synonyms(_as_spoken(phrase, row), PACK))
    ]
    assert unheard == []


def _as_spoken(phrase: Phrase, row: Row) -> Speech:
    """One form of a phrase as if somebody had said it, with the first word that decides it after it."""
    items = [*_said(row), (Token(BREAK, BREAK, 0), None)]
    for pattern in phrase.near[:1]:
        items += _said(pattern.sequences[0])
    speech = Speech([], [token for token, _ in items])
    for place, (_, kind) in enumerate(items):
        if kind:
            speech.add_span(kind, place, place)
    return speech


def _said(row: Row) -> Iterator[tuple[Token, str | None]]:
    for item in row:
        if isinstance(item, Word):
            form = min(item.forms, default="")
            yield (Token(form, stem_of(form), 0) if form else Token(min(item.stems), min(item.stems), 0)), None
        elif isinstance(item, Span):
            yield Token("thing", "thing", 0), item.kind
        else:
            assert isinstance(item, Gap)


def test_it_says_which_words() -> None:
    (found,) = find_synonyms("Look, his feet are skating a bit.".split(), PACK)
    assert (found.group, found.start, found.end, found.text) == ("foot-slide", 2, 5, "feet are skating")


def test_words_of_two_groups_stand_in_both() -> None:
    assert groups("Everything stops dead on the same frame.") == {"everything-at-once", "hits-a-wall"}


@given(st.text(st.sampled_from("feet slide knee pop.,'!- no weight arc "), max_size=200))
def test_findings_lie_in_order_and_none_of_a_group_within_another(text: str) -> None:
    words = text.split()
    found = find_synonyms(words, PACK)
    assert [one.start for one in found] == sorted(one.start for one in found)
    for one in found:
        assert one.text == " ".join(words[one.start : one.end])
        assert all(
            other is one or other.group != one.group or not (other.start <= one.start and one.end <= other.end)
            for other in found
        )


def test_a_school_adds_to_a_group_and_adds_its_own(school: School) -> None:
    folder = school(
        {
            "synonyms.yaml": """
- id: foot-slide
  say: [gone to kip]
- id: dithering
  category: acting
  meaning: The character cannot make up its mind where to go.
  say: [dither]
  examples: {match: [He dithers.]}
"""
        }
    )
    own = vocabulary.load([folder])
    assert "foot-slide" in groups("the foot has gone to kip", own)
    assert "foot-slide" in groups("skating", own)
    assert groups("he is dithering", own) == {"dithering"}
    assert problems(own) == []
    assert len(own.synonyms) == len(PACK.synonyms) + 1


def test_a_phrase_that_a_school_puts_elsewhere_stays_where_the_school_put_it(school: School) -> None:
    folder = school({"synonyms.yaml": "- id: camera-shake\n  say: [moonwalk]\n"})
    assert groups("moonwalk", vocabulary.load([folder])) == {"camera-shake"}


def test_a_school_rewords_what_a_group_means(school: School) -> None:
    own = vocabulary.load([school({"synonyms.yaml": "- id: foot-slide\n  meaning: Feet on skates.\n"})])
    (group,) = (group for group in own.synonyms if group.id == "foot-slide")
    assert (group.category, group.meaning) == ("contact", "Feet on skates.")


MISTAKES = {
    "no id": ("- say: [skate]\n", 1, "the group has no id"),
    "odd id": ("- say: [skate]\n  id: Foot Slide\n", 2, "'Foot Slide' is not a name for a group"),
    "given twice": ("- id: foot-slide\n- id: foot-slide\n", 2, "group 'foot-slide' is given twice"),
    "unknown name": ("- id: foot-slide\n  says: [skate]\n", 2, "unknown name 'says'"),
    "unknown category": ("- id: foot-slide\n  category: feet\n", 2, "category 'feet' is not known"),
    "no list": ("- id: foot-slide\n  say: skate\n", 2, "say should be a list"),
    "no list of groups": ("foot-slide: [skate]\n", 1, "synonyms.yaml should be a list"),
    "said twice": ("- id: foot-slide\n  say:\n    - skate\n    - skate\n", 4, "already on line 3"),
    "unknown part": ("- id: foot-slide\n  say:\n    - ~paws slide\n", 3, "'~paws' is unknown"),
    "unexplained": ("- id: dithering\n  say: [dither]\n", 1, "group 'dithering' lacks category and meaning"),
    "two meanings": ("- id: foot-slide\n  say: [gone]\n- id: knee-pop\n  say: [gone]\n", 2, "clashes with 'gone'"),
}


@pytest.mark.parametrize(("written", "line", "said"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_told_with_its_line(school: School, written: str, line: int, said: str) -> None:
    folder = school({"synonyms.yaml": written})
    with pytest.raises(VocabularyError) as error:
        vocabulary.load([folder])
    assert error.value.what.startswith(f"{folder}/synonyms.yaml:{line}: ")
    assert said in error.value.what


def test_an_example_that_does_not_hold_is_told(school: School) -> None:
    text = "- id: foot-slide\n  examples:\n    match: [Lovely day.]\n    no_match: [Skating.]\n"
    found = problems(vocabulary.load([school({"synonyms.yaml": text})]))
    assert [(problem.line, problem.what.partition(" matches")[0]) for problem in found] == [
        (3, "no phrase of foot-slide"),
        (4, "'skate'"),
    ]


def test_a_sentence_that_is_tried_shows_its_groups(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["vocab", "try", "she is skating"]) == 0
    assert "foot-slide" in capsys.readouterr().out
