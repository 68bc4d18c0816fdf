"""Reads speech by a vocabulary: marks what it names, and finds the rules that apply."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from critsheet.vocabulary.matching import Match, PhraseIndex, Speech, index_phrases, name_sequence, occurs, search
from critsheet.vocabulary.model import Vocabulary
from critsheet.vocabulary.phrases import Pattern

NEAR_TOKENS = 12
"""How many words away, on either side, a deciding word may stand: about one spoken sentence."""

_NAMING_KINDS = ("pronoun", "character")


@dataclass(frozen=True, eq=False)
class _Indexes:
    rules: PhraseIndex
    body: PhraseIndex
    subjects: PhraseIndex
    synonyms: PhraseIndex


@lru_cache(maxsize=8)
def _indexes(vocabulary: Vocabulary) -> _Indexes:
    """Indexes of a vocabulary, made once."""
    return _Indexes(
        index_phrases(vocabulary.phrases),
        index_phrases(phrase for part in vocabulary.body.values() for phrase in part),
        index_phrases(phrase for kind in vocabulary.subjects.values() for phrase in kind),
        index_phrases(phrase for group in vocabulary.synonyms for phrase in group.phrases),
    )


def marked(words: Sequence[str], vocabulary: Vocabulary, names: Sequence[str] = ()) -> Speech:
    """The words as Speech, with every body part, thing, pronoun, number and given name marked."""
    speech = Speech(words)
    for match in body_parts(speech, vocabulary):
        for kind in (match.phrase.function, "part", "any"):
            speech.add_span(kind, match.places[0], match.places[-1])
    for match in search(speech, _indexes(vocabulary).subjects):
        kind = match.phrase.function
        for span in (kind, "any", "name") if kind in _NAMING_KINDS else (kind, "any"):
            speech.add_span(span, match.places[0], match.places[-1])
    for first, last in _name_places(speech, names):
        speech.add_span("name", first, last)
        speech.add_span("any", first, last)
    return speech


def rules(speech: Speech, vocabulary: Vocabulary) -> list[Match]:
    """Every rule that applies to marked speech, the more specific ones in place of those they contain."""
    found = search(speech, _indexes(vocabulary).rules)
    return most_specific([match for match in found if _decided(speech, match)])


def body_parts(speech: Speech, vocabulary: Vocabulary) -> list[Match]:
    """Every body part named; the phrase's function is its canonical name."""
    found = search(speech, _indexes(vocabulary).body)
    return most_specific([match for match in found if _decided(speech, match)])


def synonyms(speech: Speech, vocabulary: Vocabulary) -> list[Match]:
    """Every way of saying something that the vocabulary knows others for, in marked speech."""
    return [match for match in search(speech, _indexes(vocabulary).synonyms) if _decided(speech, match)]


def stands_near(speech: Speech, patterns: Iterable[Pattern], first: int, last: int) -> bool:
    """Whether any pattern occurs within a dozen words of the tokens first..last (both included)."""
    return any(occurs(speech, pattern, first - NEAR_TOKENS, last + NEAR_TOKENS) for pattern in patterns)


def _name_places(speech: Speech, names: Sequence[str]) -> list[tuple[int, int]]:
    sequences = [sequence for sequence in map(name_sequence, names) if sequence]
    stems = [token.stem for token in speech.tokens]
    return [
        (place, place + len(sequence) - 1)
        for place in range(len(stems))
        for sequence in sequences
        if tuple(stems[place : place + len(sequence)]) == sequence
    ]


def _decided(speech: Speech, match: Match) -> bool:
    """Whether an ambiguous phrase has a deciding word near, and none that speaks against it."""
    phrase, first, last = match.phrase, match.places[0], match.places[-1]
    if phrase.near and not stands_near(speech, phrase.near, first, last):
        return False
    return not (phrase.unless and stands_near(speech, phrase.unless, first, last))


def most_specific(matches: list[Match]) -> list[Match]:
    """Drops a match whose tokens are all part of a longer match of the same sort (category or cue).

    Of rules that say the same of the same tokens one is kept.
    """
    holders: dict[tuple[bool, int], list[Match]] = {}
    for match in matches:
        for place in match.places:
            holders.setdefault((match.phrase.category is None, place), []).append(match)
    return [
        match for match in matches if not _displaced(match, holders[match.phrase.category is None, match.places[0]])
    ]


def _displaced(match: Match, rivals: list[Match]) -> bool:
    """Whether a rival uses all its tokens and more, or is the same finding by another rule."""
    own = set(match.places)
    return any(
        own < set(rival.places) or (match.places == rival.places and _says_same(match, rival)) for rival in rivals
    )


def _says_same(match: Match, other: Match) -> bool:
    one, two = match.phrase, other.phrase
    return (one.category, one.function) == (two.category, two.function) and two.id < one.id
