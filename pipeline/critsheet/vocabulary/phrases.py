"""The phrase language of the vocabulary pack.

foot slide          words match by stem: slides, sliding, slid; "the", "um", "is" may stand between
knee|elbow          alternatives in one place; of several words in brackets: (knee|elbow joint)
completely?         may be missing, also (of the foot)?
=read               exactly this form
in-between          in between, in-between or inbetween
~                   any body part, character, prop or pronoun, with "the left" and the like before it
~part  ~foot        any body part; the foot by any of its names
~name               a character by name, by pronoun or by a word such as "guy"
~surface            what is stood on or touched; ~loose: what hangs or trails; ~effect: dust, water ...
N                   any number, also "a couple of"
...                 up to four other words of the same sentence, none of them a "not"
!word               at the end: not followed by this word; at the start: not after it
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from critsheet.vocabulary.tokens import pieces, stem_of

MAX_SEQUENCES = 512
"""A phrase that stands for more sequences than this is a mistake, or better written as several."""

SUBJECT_KINDS = ("pronoun", "character", "prop", "surface", "loose", "effect")
"""Kinds of things, other than body parts, whose names a vocabulary lists."""

SPAN_KINDS = ("any", "part", "name", "number", *SUBJECT_KINDS)
_LEXEME = re.compile(r"\s*(?:(\.\.\.)|(~[a-z]*)|([(|)?])|(!?=?[a-z0-9'][a-z0-9'’-]*)|(N)(?![A-Za-z]))")


class PhraseError(ValueError):
    """A phrase that cannot be read; the message says how to mend it."""


@dataclass(frozen=True)
class Word:
    """One place of a phrase: any of these stems, or exactly one of these forms."""

    stems: frozenset[str]
    forms: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Span:
    """A place filled by something the speech names: a kind of SPAN_KINDS or a canonical body part."""

    kind: str


@dataclass(frozen=True)
class Gap:
    """Up to four other words."""


Item = Word | Span | Gap
Row = tuple[Item, ...]


@dataclass(frozen=True)
class Pattern:
    """What a phrase compiles to: any of its sequences matches, unless a forbidden word is next to it."""

    sequences: tuple[Row, ...]
    not_before: frozenset[str] = frozenset()
    not_after: frozenset[str] = frozenset()


@lru_cache(maxsize=16384)
def compile_phrase(text: str) -> Pattern:
    """The pattern of a phrase, longest sequences first.

    Raises PhraseError where it is malformed or could never match.
    """
    lexemes = _lexemes(text)
    before, after = _forbidden_before(lexemes), _forbidden_after(lexemes)
    if stray := next((lexeme for lexeme in lexemes if lexeme.startswith("!")), None):
        raise PhraseError(f"{stray!r} may stand only at the start or the end")
    parser = _Parser(lexemes)
    sequences = dict.fromkeys(parser.sequences())
    for sequence in sequences:
        _check_sequence(sequence)
    return Pattern(tuple(sorted(sequences, key=len, reverse=True)), before, after)


def _lexemes(text: str) -> list[str]:
    lexemes, place, stripped = [], 0, text.rstrip()
    while place < len(stripped):
        found = _LEXEME.match(stripped, place)
        if not found:
            rest = stripped[place:].strip()[:20]
            raise PhraseError(
                f"{rest!r} is not part of the phrase language; use lower-case words and | ( ) ? ~ N ... = !"
            )
        lexemes.append(found.group().strip())
        place = found.end()
    if not lexemes:
        raise PhraseError("it is empty; write at least one word")
    return lexemes


def _forbidden_before(lexemes: list[str]) -> frozenset[str]:
    """Takes `!a|b` off the start of the lexemes; the stems that may not come before the phrase."""
    if not lexemes[0].startswith("!"):
        return frozenset()
    end = 1
    while end + 1 < len(lexemes) and lexemes[end] == "|":
        end += 2
    return _forbidden(lexemes, 0, end)


def _forbidden_after(lexemes: list[str]) -> frozenset[str]:
    """Takes `!a|b` off the end of the lexemes; the stems that may not follow the phrase."""
    start = len(lexemes) - 1
    while start > 1 and lexemes[start - 1] == "|" and not lexemes[start].startswith("!"):
        start -= 2
    if start < 0 or not lexemes[start].startswith("!"):
        return frozenset()
    return _forbidden(lexemes, start, len(lexemes))


def _forbidden(lexemes: list[str], start: int, end: int) -> frozenset[str]:
    words = [lexeme.lstrip("!") for lexeme in lexemes[start:end] if lexeme != "|"]
    del lexemes[start:end]
    if not lexemes:
        raise PhraseError("it only forbids words; write the words to find as well")
    return frozenset(stem_of(piece) for word in words for piece in pieces(word))


class _Parser:
    """Recursive descent over the lexemes; every rule gives all the sequences that it stands for."""

    def __init__(self, lexemes: list[str]) -> None:
        self._lexemes = lexemes
        self._place = 0

    def sequences(self) -> list[Row]:
        result = self._row(outside=True)
        if self._place < len(self._lexemes):
            raise PhraseError(f"{self._lexemes[self._place]!r} stands where it cannot; check the brackets")
        return result

    def _peek(self) -> str | None:
        return self._lexemes[self._place] if self._place < len(self._lexemes) else None

    def _take(self) -> str:
        lexeme = self._lexemes[self._place]
        self._place += 1
        return lexeme

    def _row(self, outside: bool) -> list[Row]:
        """Elements one after the other, up to a closing bracket or a bar that a bracket owns."""
        rows: list[Row] = [()]
        first = True
        while self._peek() not in (None, ")", "|"):
            element = self._slot(joined=outside)
            optional = self._peek() == "?"
            if optional:
                self._take()
                if outside and (first or self._peek() is None):
                    raise PhraseError("what may be missing at the start or the end changes nothing; remove it")
                element = [*element, ()]
            if len(rows) * len(element) > MAX_SEQUENCES:
                raise PhraseError("it stands for too many forms at once; write it as several phrases")
            rows = [left + right for left, right in product(rows, element)]
            first = False
        return rows

    def _slot(self, joined: bool) -> list[Row]:
        """What may stand in one place: a word or a bracket, and outside brackets also a|b|c."""
        options = self._group() if self._peek() == "(" else _atom(self._take())
        while joined and self._peek() == "|":
            self._take()
            if self._peek() in (None, "|", ")", "?"):
                raise PhraseError("a bar has nothing after it; remove it or add a word")
            options = [*options, *(self._group() if self._peek() == "(" else _atom(self._take()))]
        return options if len(options) == 1 else list(_merged(options))

    def _group(self) -> list[Row]:
        self._take()
        options = self._row(outside=False)
        while self._peek() == "|":
            self._take()
            options = [*options, *self._row(outside=False)]
        if self._peek() != ")":
            raise PhraseError("a bracket is not closed; add ')'")
        self._take()
        if () in options:
            raise PhraseError("a bracket holds an empty alternative; use ? for what may be missing")
        return options


@lru_cache(maxsize=16384)
def _atom(lexeme: str) -> list[Row]:
    """The sequences that one lexeme stands for."""
    if lexeme == "...":
        return [(Gap(),)]
    if lexeme == "N":
        return [(Span("number"),)]
    if lexeme.startswith("~"):
        return [(Span(lexeme[1:] or "any"),)]
    if lexeme in {"|", ")", "?"}:
        raise PhraseError(f"{lexeme!r} stands where a word should be")
    exact = lexeme.startswith("=")
    bare = lexeme.lstrip("=")
    cut = pieces(bare)
    if not cut:
        raise PhraseError(f"{lexeme!r} holds no letters")
    rows: list[Row] = [tuple(_word(piece, exact) for piece in cut)]
    if "-" in bare and "'" not in bare:
        rows.append((_word(bare.replace("-", ""), exact),))
    return rows


def _word(piece: str, exact: bool) -> Word:
    return Word(frozenset(), frozenset([piece])) if exact else Word(frozenset([stem_of(piece)]))


def _merged(options: list[Row]) -> Iterator[Row]:
    """One place for all the single words, then the other alternatives as they are."""
    singles = [row[0] for row in options if len(row) == 1 and isinstance(row[0], Word)]
    words = [word for word in singles if isinstance(word, Word)]
    if words:
        stems = frozenset[str]().union(*(word.stems for word in words))
        yield (Word(stems, frozenset[str]().union(*(word.forms for word in words))),)
    yield from (row for row in options if not (len(row) == 1 and isinstance(row[0], Word)))


def _check_sequence(sequence: Row) -> None:
    if not any(isinstance(item, Word | Span) for item in sequence):
        raise PhraseError("every word in it may be missing, so it would match nothing; make one word required")
    if isinstance(sequence[0], Gap) or isinstance(sequence[-1], Gap):
        raise PhraseError("'...' may stand only between words")
