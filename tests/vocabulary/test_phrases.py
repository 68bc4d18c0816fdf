"""The phrase language: what a phrase finds, and what it refuses."""

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from critsheet.vocabulary.matching import index_phrases, search
from critsheet.vocabulary.model import Phrase, Vocabulary
from critsheet.vocabulary.phrases import PhraseError, compile_phrase
from critsheet.vocabulary.reader import marked


def found(phrase: str, sentence: str, pack: Vocabulary, names: tuple[str, ...] = ()) -> list[str]:
    """The words of the sentence that the phrase uses, match by match."""
    rule = Phrase(id="test", category="contact", function="fault", text=phrase, pattern=compile_phrase(phrase))
    speech = marked(sentence.split(), pack, names)
    return [
        " ".join(dict.fromkeys(speech.words[speech.tokens[place].word] for place in match.places))
        for match in search(speech, index_phrases([rule]))
    ]


@pytest.mark.parametrize(
    ("phrase", "sentence"),
    [
        ("foot slide", "the feet are sliding"),
        ("foot slide", "that foot slid about"),
        ("foot slide", "The foot, um, just sort of slides."),
        ("foot slide", "the foot here is really sliding"),
        ("knee|elbow pop", "her elbow pops"),
        ("(knee|elbow joint) pop", "the elbow joint pops"),
        ("not completely? still", "it is not still"),
        ("not completely? still", "it isn't completely still"),
        ("follow-through", "no followthrough there"),
        ("follow-through", "no follow-through there"),
        ("follow-through", "nothing follows through"),
        ("hips ... late", "the hips come in much too late"),
        ("hold N frames", "hold a couple of frames"),
        ("hold N frames", "hold 12 frames"),
        ("hold N frames", "hold twenty four frames"),
        ("plant ~foot", "plant that left heel"),
        ("~hand ~face", "his hand, his face"),
        ("drag ~loose", "drag the ponytail"),
        ("sink into ~surface", "he sinks into the mattress"),
        ("=read", "it does not read"),
        ("does not work", "it doesn't work"),
        ("does not work", "it does n't work"),
        ("centre of gravity", "her center of gravity"),
        ("keep !going", "keep that pose"),
        ("!not push", "push that pose"),
    ],
)
def test_a_phrase_finds_what_mentors_say(phrase: str, sentence: str, pack: Vocabulary) -> None:
    assert found(phrase, sentence, pack)


@pytest.mark.parametrize(
    ("phrase", "sentence"),
    [
        ("foot slide", "that is the foot. Slide it later"),
        ("foot slide", "the foot does not slide"),
        ("=read", "reading the line"),
        ("hips ... late", "the hips are fine and nobody on earth comes in late"),
        ("hips ... late", "the hips are not late"),
        ("keep !going", "keep going"),
        ("!not push", "do not push that"),
        ("plant ~foot", "plant a tree"),
        ("faster", "it is fast"),
    ],
)
def test_a_phrase_stays_away_from_what_only_looks_alike(phrase: str, sentence: str, pack: Vocabulary) -> None:
    assert not found(phrase, sentence, pack)


def test_names_count_as_characters_also_in_several_words(pack: Vocabulary) -> None:
    assert not found("~name late", "the tea seller's late", pack)
    assert found("~name late", "the tea seller's late", pack, ("the tea seller",))


def test_one_phrase_is_found_once_for_the_same_words(pack: Vocabulary) -> None:
    assert len(found("foot|heel slide|slip", "the foot slides and the heel slips", pack)) == 2


@pytest.mark.parametrize(
    ("phrase", "why"),
    [
        ("", "empty"),
        ("(foot slide", "not closed"),
        ("foot) slide", "brackets"),
        ("foot | slide |", "after it"),
        ("Foot slide", "lower-case"),
        ("foot & slide", "lower-case"),
        ("foot slide?", "start or the end"),
        ("... slide", "between words"),
        ("foot !slide away", "start or the end"),
        ("!slide", "to find"),
        ("(foot|) slide", "empty alternative"),
        ("foot ? slide?", "start or the end"),
        (" ".join(["(a|b c)?"] * 12) + " x", "start or the end"),
        ("x " + " ".join(["(a|b c)?"] * 12) + " x", "too many"),
    ],
)
def test_a_phrase_that_cannot_be_meant_is_refused_with_a_reason(phrase: str, why: str) -> None:
    with pytest.raises(PhraseError, match=why):
        compile_phrase(phrase)


WORDS = st.text(string.ascii_lowercase, min_size=3, max_size=9)


@given(st.lists(WORDS, min_size=1, max_size=5))
@settings(deadline=None, max_examples=60)
def test_a_phrase_of_plain_words_finds_itself(words: list[str]) -> None:
    phrase = Phrase("test", "contact", "fault", " ".join(words), compile_phrase(" ".join(words)))
    speech = marked(["so", *words, "there"], _EMPTY)
    assert search(speech, index_phrases([phrase]))


@given(st.text("ab (|)?~N.=!-'", max_size=14))
@settings(deadline=None, max_examples=300)
def test_any_text_is_read_as_a_phrase_or_refused_politely(text: str) -> None:
    try:
        pattern = compile_phrase(text)
    except PhraseError as error:
        assert str(error)
    else:
        assert pattern.sequences
        assert all(pattern.sequences)


@given(st.lists(WORDS, min_size=2, max_size=4, unique=True), st.lists(WORDS, min_size=1, max_size=3))
@settings(deadline=None, max_examples=40)
def test_alternatives_find_each_of_their_words(options: list[str], rest: list[str]) -> None:
    text = " ".join(["|".join(options), *rest])
    phrase = Phrase("test", "contact", "fault", text, compile_phrase(text))
    for option in options:
        assert search(marked([option, *rest], _EMPTY), index_phrases([phrase]))


_EMPTY = Vocabulary(
    categories={}, phrases=(), body={}, subjects={}, misheard=(), stages=(), examples=(), hints=(), sha256=""
)
