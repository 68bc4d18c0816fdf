"""Finds the trade's words in speech: which rule, which category, which words.

Policy on overlaps: a finding whose words are all part of a longer one gives way to it ("line weight" is
appeal, not weight). Cues and categories never displace each other.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from critsheet.vocabulary import Vocabulary, reader
from critsheet.vocabulary.matching import Match, Speech


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


@dataclass(frozen=True)
class SynonymFinding:
    """Something that can be said in other ways: its group of synonyms; words start..end, end exclusive."""

    group: str
    start: int
    end: int
    text: str


def find(words: Sequence[str], vocabulary: Vocabulary, names: Sequence[str] = ()) -> list[Finding]:
    """Every trade phrase and cue in the words, in order of place.

    Words may be of any case, with or without punctuation tokens; . ? ! end a sentence, which no phrase
    crosses. `names` are the shot's own characters and props.
    """
    speech = reader.marked(words, vocabulary, names)
    return [_finding(speech, match) for match in reader.rules(speech, vocabulary)]


def find_body(words: Sequence[str], vocabulary: Vocabulary) -> list[BodyFinding]:
    """Every body part named in the words, in order of place; "heel" gives `foot`."""
    speech = Speech(words)
    found = []
    for match in reader.body_parts(speech, vocabulary):
        start, end = _word_range(speech, match.places)
        found.append(BodyFinding(match.phrase.function, start, end, " ".join(words[start:end])))
    return found


def find_synonyms(words: Sequence[str], vocabulary: Vocabulary) -> list[SynonymFinding]:
    """Everything in the words that can be said in other ways, in order of place; the longest finding comes first.

    Findings of several groups may overlap; of one group's findings none lies within another.
    """
    speech = reader.marked(words, vocabulary)
    matches = reader.synonyms(speech, vocabulary)
    spans = {(match.phrase.function, *_word_range(speech, match.places)) for match in matches}
    reached: dict[str, int] = {}
    found = []
    for group, start, end in sorted(spans, key=lambda span: (span[1], -span[2], span[0])):
        if end > reached.get(group, 0):
            reached[group] = end
            found.append(SynonymFinding(group, start, end, " ".join(words[start:end])))
    return found


def _finding(speech: Speech, match: Match) -> Finding:
    start, end = _word_range(speech, match.places)
    phrase = match.phrase
    return Finding(phrase.id, phrase.function, phrase.category, start, end, " ".join(speech.words[start:end]))


def _word_range(speech: Speech, places: tuple[int, ...]) -> tuple[int, int]:
    return speech.tokens[places[0]].word, speech.tokens[places[-1]].word + 1
