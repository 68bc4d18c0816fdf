"""Splits transcript words into small lower-case pieces: "forty-two," and "f42" read like "forty two" and "f 42".

First of the chain that finds frame numbers, which imports in this order: lexemes, numbers, frame_patterns,
frame_spans, frame_cues, frame_groups, frame_measures, frame_joins, said_frames.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

Stop = Literal["", ",", "."]

FILLERS = frozenset("um uh er erm uhm umm mm hm hmm ah eh mhm".split())
"""Sounds of hesitation: they change nothing about a number."""

_PIECE = re.compile(
    r"\d{1,3}(?:,\d{3})+(?!\d)"  # 1,024
    r"|\d+(?:[:.]\d+)+"  # 10:24, 1.5
    r"|\d+"
    r"|'(?:s|m|re|ve|ll|d)\b|n't\b"  # what a tokenizer cuts off "it's" and "isn't"
    r"|[^\W\d_]+(?=ish\b)(?<=ty|en|ve|ed)|ish\b"  # forty-ish in one word
    r"|[^\W\d_]+(?:'[^\W\d_]+)*"
    r"|\.{2,}"
    r"|[^\w\s]"
)
_DASHES = frozenset("-–—")
_SENTENCE_ENDS = frozenset(".?!")
_SYMBOLS = frozenset("$£€%°+/#")
"""Signs that tell what a number counts."""


@dataclass(frozen=True)
class Lexeme:
    """One piece: its text, the index of the word it stands in, and the punctuation that follows it.

    `stop` is "" for none, "," for a pause within a sentence, "." for the end of one.
    """

    text: str
    word: int
    stop: Stop = ""


def lexemes(words: Sequence[str]) -> list[Lexeme]:
    """The pieces of all words in order; punctuation, attached or a word of its own, becomes a `stop`.

    A hyphen or dash between two pieces stays as the piece "-". A clitic set apart by a tokenizer is joined
    to its word again, but not to a number ("240's" is "240" and "'s").
    """
    pieces: list[Lexeme] = []
    for index, word in enumerate(words):
        found = _PIECE.findall(word.strip().lower().replace("’", "'").replace("‘", "'"))
        for place, text in enumerate(found):
            alone = len(found) == 1 and text == "-"
            _add(pieces, Lexeme(text, index), joins=alone or 0 < place < len(found) - 1)
    return pieces


def _add(pieces: list[Lexeme], piece: Lexeme, joins: bool) -> None:
    """Append a piece, or let it change the one before; `joins` tells whether a dash has both its sides."""
    text, last = piece.text, pieces[-1] if pieces else None
    if (text[0].isalnum() and text != "n't") or text in _SYMBOLS:
        pieces.append(piece)
    elif last is None or last.stop == ".":
        return
    elif text in _DASHES and joins and not last.stop:
        pieces.append(replace(piece, text="-"))
    elif text in _SENTENCE_ENDS:
        pieces[-1] = replace(last, stop=".")
    elif text == "n't" or (text[0] == "'" and len(text) > 1):
        if last.text.isdigit() and text == "'s":
            pieces.append(piece)
        elif not last.stop and last.text.isalpha():
            pieces[-1] = replace(last, text=last.text + text)
    elif text == "'":
        if last.text.isdigit() and not last.stop and joins:
            pieces.append(piece)
    else:
        pieces[-1] = replace(last, stop=",")


class Line:
    """The pieces as text, for rules written as regular expressions: "at 44, she" reads "at 44, she".

    Pieces are parted by single spaces and a stop follows its piece directly.
    """

    def __init__(self, pieces: Sequence[Lexeme]) -> None:
        self.pieces = pieces
        self._shown = [piece.text + piece.stop for piece in pieces]

    def between(self, start: int, end: int) -> str:
        """The pieces start..end (end exclusive), each followed by a space."""
        return "".join(shown + " " for shown in self._shown[max(0, start) : max(0, end)])

    def before(self, start: int, count: int = 12) -> str:
        """Up to `count` pieces before `start`, each followed by a space."""
        return self.between(start - count, start)

    def after(self, end: int, count: int = 6) -> str:
        """What follows the piece before `end`: its own stop, then up to `count` pieces, each after a space."""
        stop = self.pieces[end - 1].stop if end else ""
        return stop + "".join(" " + shown for shown in self._shown[end : end + count])
