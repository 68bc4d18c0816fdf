"""What was said, as tokens with times: the form in which language is read.

A token is a word or a mark of punctuation. Contractions stay whole ("don't"); times inside a word that
carries punctuation are the word's own.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from critsheet.sheet import Transcript

LONG_PAUSE_S = 1.0
"""A silence this long ends what was being said; within a sentence people seldom pause longer."""

_TOKEN = re.compile(r"[^\W_]+(?:(?:['’\-.:]|,(?=\d{3}(?!\d)))[^\W_]+)*(?:'(?=\s|$))?|[^\w\s]|_")
SENTENCE_ENDS = frozenset(".?!…")


@dataclass(frozen=True)
class SpokenToken:
    """One token. `pause_s` is the silence before it; `probability` the recogniser's for its word."""

    text: str
    start_s: float
    end_s: float
    pause_s: float
    probability: float = 1.0

    @property
    def is_word(self) -> bool:
        """Whether this is a word or number rather than punctuation."""
        return self.text[0].isalnum()

    @property
    def ends_sentence(self) -> bool:
        """Whether this is a mark that ends a sentence."""
        return self.text in SENTENCE_ENDS


def spoken_tokens(transcript: Transcript) -> list[SpokenToken]:
    """All tokens of a transcript in order of time."""
    tokens: list[SpokenToken] = []
    end_s = 0.0
    for word in transcript.words:
        for index, piece in enumerate(_TOKEN.findall(word.text)):
            pause_s = max(0.0, word.start - end_s) if index == 0 else 0.0
            tokens.append(SpokenToken(piece, word.start, word.end, pause_s, word.probability))
        end_s = word.end
    return tokens


def said(tokens: Sequence[SpokenToken]) -> str:
    """Tokens as running text, punctuation closed up."""
    text = " ".join(token.text for token in tokens)
    text = re.sub(r" ([.,;:?!…%)\]”’])", r"\1", text)
    return re.sub(r"([(\[“‘]) ", r"\1", text)
