"""Marks in a note's words what a search found them by."""

import re
from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

from critsheet.archive.query import Asked
from critsheet.archive.terms import LONGEST_TERM, concepts_in
from critsheet.vocabulary.tokens import pieces, stem_of

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

SHOWN = 160
"""Letters of a quote that are shown: two lines of a terminal."""
_WORD = re.compile(r"\S+")
_EDGE = re.compile(r"^\W+|\W+$")
_ELLIPSIS = "…"


@dataclass(frozen=True)
class Marked:
    """A text, and the stretches of it (start, end; end exclusive) that match, in order and apart."""

    text: str
    spans: tuple[tuple[int, int], ...] = ()

    def around(self) -> "Marked":
        """A piece of the text, about SHOWN letters with the first match in it, cut between words."""
        if len(self.text) <= SHOWN:
            return self
        first = self.spans[0][0] if self.spans else 0
        breaks = [0, *(match.end() for match in re.finditer(r"\s+", self.text)), len(self.text)]
        start = breaks[bisect_left(breaks, max(0, first - SHOWN // 3))]
        start = min(start, breaks[max(0, bisect_left(breaks, first))])
        end = max((place for place in breaks if place <= start + SHOWN), default=len(self.text))
        end = end if end > start else min(len(self.text), start + SHOWN)
        before = _ELLIPSIS if start else ""
        after = _ELLIPSIS if end < len(self.text) else ""
        shift = len(before) - start
        spans = tuple((one + shift, min(end, other) + shift) for one, other in self.spans if start <= one < end)
        return Marked(before + self.text[start:end].rstrip() + after, spans)


def mark(text: str, asked: Asked, vocabulary: "Vocabulary") -> Marked:
    """The text with everything marked that `asked` is about; phrases as a whole, synonyms as they were said."""
    words = list(_WORD.finditer(text))
    stems: list[tuple[str, int]] = [
        (stem_of(form)[:LONGEST_TERM], place) for place, word in enumerate(words) for form in pieces(word.group())
    ]
    found: set[tuple[int, int]] = set()
    for terms in asked.terms:
        length = len(terms)
        for start in range(len(stems) - length + 1):
            if tuple(stem for stem, _ in stems[start : start + length]) == terms:
                found.add((stems[start][1], stems[start + length - 1][1] + 1))
    if asked.concepts:
        for each in concepts_in([word.group() for word in words], vocabulary):
            if each.group in asked.concepts:
                found.add((each.start, each.end))
    return Marked(text, _joined([_letters(words, start, end) for start, end in found]))


def _letters(words: list[re.Match[str]], start: int, end: int) -> tuple[int, int]:
    """From words to letters, without the punctuation at either end."""
    first, last = words[start].start(), words[end - 1].end()
    whole = words[start].string[first:last]
    before = _EDGE.match(whole)
    after = re.search(r"\W+$", whole)
    return first + (before.end() if before else 0), last - (len(after.group()) if after else 0)


def _joined(spans: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    """Spans in order; those that overlap become one."""
    ordered = sorted(span for span in spans if span[0] < span[1])
    joined: list[tuple[int, int]] = []
    for start, end in ordered:
        if joined and start < joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)
