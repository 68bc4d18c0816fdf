"""Spoken words taken apart for comparison, and the runs of them that may be one misheard word."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from critsheet.sheet import Transcript, Word
from critsheet.speech import sounds

_EDGES = re.compile(r"(\W*)(.*?)(['’]s)?(\W*)", re.DOTALL)
_SENTENCE_END = re.compile(r"[.?!]\W*$")


@dataclass(frozen=True)
class Spoken:
    """A word: `core` without a possessive ending (`owner`) and the marks before and after it.

    `opens` tells whether it opens a sentence, `segment` in which segment of the transcript it stands.
    """

    word: Word
    before: str
    core: str
    owner: str
    after: str
    opens: bool
    segment: int

    @property
    def frequency(self) -> float:
        """How frequent the word is in English, on the scale of `sounds`."""
        return max(sounds.frequency(self.core), sounds.frequency(self.core + self.owner))


def take_apart(transcript: Transcript) -> list[Spoken]:
    """All words of a transcript, in order."""
    spoken = []
    opens = True
    for number, segment in enumerate(transcript.segments):
        for word in segment.words:
            match = _EDGES.fullmatch(word.text)
            before, core, owner, after = match.groups(default="") if match else ("", word.text, "", "")
            spoken.append(Spoken(word, before, core, owner, after, opens, number))
            opens = bool(_SENTENCE_END.search(word.text))
    return spoken


def runs(spoken: Sequence[Spoken], longest: int) -> Iterator[tuple[int, int]]:
    """Every run (start, end exclusive) of up to `longest` words of a segment, free of marks and earlier repairs."""
    for start, first in enumerate(spoken):
        for end in range(start + 1, min(start + longest, len(spoken)) + 1):
            last = spoken[end - 1]
            if last.word.raw is not None or last.segment != first.segment or (end - start > 1 and last.before):
                break
            yield start, end
            if last.after or last.owner:
                break
