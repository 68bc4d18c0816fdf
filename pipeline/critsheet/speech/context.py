"""What the vocabulary makes of the words around a doubtful one."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from critsheet.vocabulary import Misheard, Vocabulary
from critsheet.vocabulary.matching import Match, PhraseIndex, Speech, index_phrases, occurs, search

NEAR_WORDS = 8
"""How many words away, on either side, a deciding word may stand: about half a spoken sentence."""


@dataclass(frozen=True)
class Run:
    """Words start..end (end exclusive) of what was said, and what may have been meant by them."""

    start: int
    end: int
    meant: str


@lru_cache(maxsize=4)
def _indexes(vocabulary: Vocabulary) -> tuple[PhraseIndex, PhraseIndex]:
    """A vocabulary's rules and its names of body parts, ready for searching."""
    body = (phrase for part in vocabulary.body.values() for phrase in part)
    return index_phrases(vocabulary.phrases), index_phrases(body)


class Context:
    """Judges doubtful runs of words by the vocabulary's own rules. Made once for a transcript."""

    def __init__(self, words: Sequence[str], vocabulary: Vocabulary) -> None:
        self._words = words
        self._rules, self._body = _indexes(vocabulary)
        self._speech = self._marked(words)
        self._tokens: dict[int, list[int]] = {}
        for place, token in enumerate(self._speech.tokens):
            self._tokens.setdefault(token.word, []).append(place)
        rules = search(self._speech, self._rules)
        craft = [match for match in rules if match.phrase.category] + search(self._speech, self._body)
        self._craft = [self._span(match) for match in craft]
        talk = (match for match in rules if not match.phrase.category)
        self._talk = {self._speech.tokens[place].word for match in talk for place in match.places}

    def is_near(self, run: Run, rule: Misheard | None = None) -> bool:
        """Whether any craft word or body part stands right beside the run, or a rule's own deciding words."""
        first, last = run.start - NEAR_WORDS, run.end + NEAR_WORDS
        if rule is not None and rule.near:
            sides = (self._places(first, run.start), self._places(run.end, last))
            return any(
                occurs(self._speech, pattern, side[0], side[-1]) for pattern in rule.near for side in sides if side
            )
        return any(
            first <= start and end <= last and (end <= run.start or run.end <= start) for start, end in self._craft
        )

    def is_talk(self, run: Run) -> bool:
        """Whether the words as heard belong to a phrase of talking, such as "wait, let me see"."""
        return any(word in self._talk for word in range(run.start, run.end))

    def completes_phrase(self, run: Run) -> bool:
        """Whether what may be meant makes a trade phrase of two words or more that was not there before."""
        before = list(self._words[max(0, run.start - NEAR_WORDS) : run.start])
        after = list(self._words[run.end : run.end + NEAR_WORDS])
        there = self._phrases(before, list(self._words[run.start : run.end]), after)
        return bool(self._phrases(before, run.meant.split(), after) - there)

    def _phrases(self, before: list[str], run: list[str], after: list[str]) -> set[str]:
        """Rules whose phrase takes up part of the run and is longer than one word."""
        speech = self._marked([*before, *run, *after])
        inside = range(len(before), len(before) + len(run))
        return {
            match.phrase.id
            for match in search(speech, self._rules)
            if match.phrase.category
            and len(match.places) > 1
            and any(speech.tokens[place].word in inside for place in match.places)
        }

    def _marked(self, words: Sequence[str]) -> Speech:
        """Words cut into tokens, with the body parts in them marked for phrases that ask for one."""
        speech = Speech(words)
        for match in search(speech, self._body):
            for kind in (match.phrase.function, "part", "any"):
                speech.add_span(kind, match.places[0], match.places[-1])
        return speech

    def _span(self, match: Match) -> tuple[int, int]:
        """The words that a match covers, end exclusive."""
        tokens = self._speech.tokens
        return tokens[match.places[0]].word, tokens[match.places[-1]].word + 1

    def _places(self, start: int, end: int) -> list[int]:
        """Positions of the tokens of words start..end."""
        return [place for word in range(max(0, start), end) for place in self._tokens.get(word, ())]
