"""Finds the trade's words in speech: which rule, which category, which words.

Policy on overlaps: a finding whose words are all part of a longer one gives way to it ("line weight" is
appeal, not weight). Cues and categories never displace each other.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from critsheet.vocabulary.matching import (
    Match,
    PhraseIndex,
    Speech,
    index_phrases,
    name_sequence,
    occurs,
    search,
)
from critsheet.vocabulary.model import Phrase, Vocabulary
from critsheet.vocabulary.phrases import Pattern

NEAR_TOKENS = 12
"""How many words away, on either side, a deciding word may stand: about one spoken sentence."""


@dataclass(frozen=True)
class Finding:
    """A rule that applies: words start..end (end exclusive) of the words given, and their text."""

    rule: str
    function: str
    category: str | None
    start: int
    end: int
    text: str


@dataclass(frozen=True)
class BodyFinding:
    """A body part that is named, under its canonical name; words start..end, end exclusive."""

    part: str
    start: int
    end: int
    text: str


@dataclass(frozen=True, eq=False)
class _Indexes:
    rules: PhraseIndex
    body: PhraseIndex
    subjects: PhraseIndex


def find(words: Sequence[str], vocabulary: Vocabulary, names: Sequence[str] = ()) -> list[Finding]:
    """Every trade phrase and cue in the words, in order of place.

    Words may be of any case, with or without punctuation tokens; . ? ! end a sentence, which no phrase
    crosses. `names` are the shot's own characters and props.
    """
    speech = _speech(words, vocabulary, names)
    matches = [m for m in search(speech, _indexes(vocabulary).rules) if _decided(speech, m)]
    return [_finding(speech, match) for match in _most_specific(matches)]


def find_body(words: Sequence[str], vocabulary: Vocabulary) -> list[BodyFinding]:
    """Every body part named in the words, in order of place; "heel" gives `foot`."""
    speech = _speech(words, vocabulary, ())
    found = []
    for match in _body_matches(speech, vocabulary):
        start, end = _word_range(speech, match.places)
        found.append(BodyFinding(match.phrase.function, start, end, " ".join(words[start:end])))
    return found


def stands_near(
    patterns: Iterable[Pattern], words: Sequence[str], start: int, end: int, vocabulary: Vocabulary, names: Sequence[str] = ()
) -> bool:
    """Whether any pattern occurs within a dozen words of words start..end (end exclusive)."""
    speech = _speech(words, vocabulary, names)
    places = [place for place, token in enumerate(speech.tokens) if start <= token.word < end]
    return bool(places) and _near(speech, patterns, places[0], places[-1])


@lru_cache(maxsize=8)
def _indexes(vocabulary: Vocabulary) -> _Indexes:
    """Indexes of a vocabulary, made once."""
    return _Indexes(
        index_phrases(vocabulary.phrases),
        index_phrases(phrase for part in vocabulary.body.values() for phrase in part),
        index_phrases(phrase for kind in vocabulary.subjects.values() for phrase in kind),
    )


def _speech(words: Sequence[str], vocabulary: Vocabulary, names: Sequence[str]) -> Speech:
    """The words with every body part, name and pronoun marked."""
    speech = Speech(words)
    for match in _body_matches(speech, vocabulary):
        for kind in (match.phrase.function, "part", "any"):
            speech.add_span(kind, match.places[0], match.places[-1])
    for match in search(speech, _indexes(vocabulary).subjects):
        kinds = ("any",) if match.phrase.function == "props" else ("name", "any")
        for kind in kinds:
            speech.add_span(kind, match.places[0], match.places[-1])
    for first, last in _name_places(speech, names):
        speech.add_span("name", first, last)
        speech.add_span("any", first, last)
    return speech


def _body_matches(speech: Speech, vocabulary: Vocabulary) -> list[Match]:
    return _most_specific([m for m in search(speech, _indexes(vocabulary).body) if _decided(speech, m)])


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
    if phrase.near and not _near(speech, phrase.near, first, last):
        return False
    return not (phrase.unless and _near(speech, phrase.unless, first, last))


def _near(speech: Speech, patterns: Iterable[Pattern], first: int, last: int) -> bool:
    return any(occurs(speech, pattern, first - NEAR_TOKENS, last + NEAR_TOKENS) for pattern in patterns)


def _most_specific(matches: list[Match]) -> list[Match]:
    """Drops a match whose tokens are all part of a longer match of the same sort (category or cue).

    Of rules that say the same of the same tokens one is kept.
    """
    holders: dict[tuple[bool, int], list[Match]] = {}
    for match in matches:
        for place in match.places:
            holders.setdefault((match.phrase.category is None, place), []).append(match)
    return [match for match in matches if not _displaced(match, holders[match.phrase.category is None, match.places[0]])]


def _displaced(match: Match, rivals: list[Match]) -> bool:
    """Whether a rival uses all its tokens and more, or is the same finding by an earlier rule."""
    own = set(match.places)
    return any(own < set(rival.places) or (match.places == rival.places and _says_same(match, rival)) for rival in rivals)


def _says_same(match: Match, earlier: Match) -> bool:
    one, other = match.phrase, earlier.phrase
    return (one.category, one.function) == (other.category, other.function) and other.id < one.id


def _finding(speech: Speech, match: Match) -> Finding:
    start, end = _word_range(speech, match.places)
    phrase: Phrase = match.phrase
    return Finding(phrase.id, phrase.function, phrase.category, start, end, " ".join(speech.words[start:end]))


def _word_range(speech: Speech, places: tuple[int, ...]) -> tuple[int, int]:
    return speech.tokens[places[0]].word, speech.tokens[places[-1]].word + 1
