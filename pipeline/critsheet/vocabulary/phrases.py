"""The phrase language of the vocabulary pack.

    foot slide          words match by stem: slides, sliding, slid; "the", "um", "is" may stand between
    knee|elbow          alternatives in one place; may be several words in brackets: (knee|elbow joint)
    completely?         may be missing, also (of the foot)?
    =read               exactly this form
    in-between          in between, in-between or inbetween
    ~                   any body part, character, prop or pronoun, with "the left" and the like before it
    ~part  ~foot        any body part; the foot by any of its names
    ~name               a character or prop by name, or a word such as "character", "guy"
    N                   any number, also "a couple of"
    ...                 up to four other words of the same sentence
    !word               at the end: not followed by this word; at the start: not after it
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from critsheet.vocabulary.tokens import pieces, stem_of

MAX_SEQUENCES = 512
"""A phrase that stands for more sequences than this is a mistake, or better written as several."""

SPAN_KINDS = ("any", "part", "name", "number")
_LEX = re.compile(r"\s*(?:(\.\.\.)|(~[a-z]*)|([(|)?])|(!?=?[a-z0-9'][a-z0-9'’-]*)|(N)(?![A-Za-z]))")


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


@dataclass(frozen=True)
class Pattern:
    """What a phrase compiles to: any of its sequences matches, unless a forbidden word is next to it."""

    sequences: tuple[tuple[Item, ...], ...]
    not_before: frozenset[str] = frozenset()
    not_after: frozenset[str] = frozenset()


def compile_phrase(text: str) -> Pattern:
    """The pattern of a phrase. Raises PhraseError where it is malformed or could never match."""
    lexemes = _lexemes(text)
    before, after = _forbidden(lexemes, 0), _forbidden(lexemes, -1)
    parser = _Parser(lexemes)
    sequences = tuple(dict.fromkeys(parser.sequences()))
    for sequence in sequences:
        _check_sequence(sequence)
    ordered = sorted(sequences, key=len, reverse=True)
    return Pattern(tuple(ordered), before, after)


def _lexemes(text: str) -> list[str]:
    lexemes, place = [], 0
    stripped = text.rstrip()
    while place < len(stripped):
        found = _LEX.match(stripped, place)
        if not found:
            raise PhraseError(f"{stripped[place:].strip()[:20]!r} is not part of the phrase language; use lower-case words, | ( ) ? ~ N ... = !")
        lexemes.append(found.group().strip())
        place = found.end()
    if not lexemes:
        raise PhraseError("it is empty; write at least one word")
    return lexemes


def _forbidden(lexemes: list[str], place: int) -> frozenset[str]:
    """Takes `!a|b` off the start or the end of the lexemes and returns its stems."""
    marks = [index for index, lexeme in enumerate(lexemes) if lexeme.startswith("!")]
    if not marks:
        return frozenset()
    mark = marks[0] if place == 0 else marks[-1]
    end = mark + 1
    while end + 1 < len(lexemes) and lexemes[end] == "|":
        end += 2
    if (place == 0 and mark == 0) or (place == -1 and end == len(lexemes)):
        words = [lexeme.lstrip("!") for lexeme in lexemes[mark:end] if lexeme != "|"]
        del lexemes[mark:end]
        return frozenset(stem_of(piece) for word in words for piece in pieces(word))
    return frozenset()


class _Parser:
    """Recursive descent over the lexemes; every rule gives all the sequences that it stands for."""

    def __init__(self, lexemes: list[str]) -> None:
        self._lexemes = lexemes
        self._place = 0

    def sequences(self) -> list[tuple[Item, ...]]:
        result = self._row()
        if self._place < len(self._lexemes):
            raise PhraseError(f"{self._lexemes[self._place]!r} stands where it cannot; check the brackets")
        return result

    def _peek(self) -> str | None:
        return self._lexemes[self._place] if self._place < len(self._lexemes) else None

    def _take(self) -> str:
        lexeme = self._lexemes[self._place]
        self._place += 1
        return lexeme

    def _row(self) -> list[tuple[Item, ...]]:
        """Elements one after the other, up to a closing bracket or a bar that a bracket owns."""
        rows: list[tuple[Item, ...]] = [()]
        while self._peek() not in (None, ")", "|"):
            element = self._element()
            if len(rows) * len(element) > MAX_SEQUENCES:
                raise PhraseError("it stands for too many forms at once; write it as several phrases")
            rows = [left + right for left, right in product(rows, element)]
        return rows

    def _element(self) -> list[tuple[Item, ...]]:
        options = self._group() if self._peek() == "(" else self._slot()
        if self._peek() == "?":
            self._take()
            options = [*options, ()]
        return options

    def _group(self) -> list[tuple[Item, ...]]:
        self._take()
        options = self._row()
        while self._peek() == "|":
            self._take()
            options = [*options, *self._row()]
        if self._peek() != ")":
            raise PhraseError("a bracket is not closed; add ')'")
        self._take()
        if () in options:
            raise PhraseError("a bracket holds an empty alternative; use ? for what may be missing")
        return options

    def _slot(self) -> list[tuple[Item, ...]]:
        """Single words between bars; plain one-piece words share one place."""
        options = [self._atom(self._take())]
        while self._peek() == "|":
            self._take()
            if self._peek() in (None, "|", ")", "?"):
                raise PhraseError("a bar has nothing after it; remove it or add a word")
            if self._peek() == "(":
                options.append([*self._group()])
            else:
                options.append(self._atom(self._take()))
        flat = [sequence for option in options for sequence in option]
        return list(_merged(flat))

    def _atom(self, lexeme: str) -> list[tuple[Item, ...]]:
        if lexeme == "...":
            return [(Gap(),)]
        if lexeme == "N":
            return [(Span("number"),)]
        if lexeme.startswith("~"):
            return [(Span(lexeme[1:] or "any"),)]
        if lexeme.startswith("!"):
            raise PhraseError(f"{lexeme!r} may stand only at the start or the end")
        if lexeme in "|)?(":
            raise PhraseError(f"{lexeme!r} stands where a word should be")
        exact = lexeme.startswith("=")
        cut = pieces(lexeme.lstrip("="))
        if not cut:
            raise PhraseError(f"{lexeme!r} holds no letters")
        sequence = tuple(_word(piece, exact) for piece in cut)
        joined = lexeme.lstrip("=").replace("-", "")
        return [sequence, (_word(joined, exact),)] if "-" in lexeme and "'" not in lexeme else [sequence]


def _word(piece: str, exact: bool) -> Word:
    return Word(frozenset(), frozenset([piece])) if exact else Word(frozenset([stem_of(piece)]))


def _merged(options: list[tuple[Item, ...]]) -> Iterator[tuple[Item, ...]]:
    """One place for all the single words, then the longer alternatives as they are."""
    singles = [option[0] for option in options if len(option) == 1 and isinstance(option[0], Word)]
    if singles:
        words = [single for single in singles if isinstance(single, Word)]
        yield (Word(frozenset().union(*(w.stems for w in words)), frozenset().union(*(w.forms for w in words))),)
    yield from (option for option in options if not (len(option) == 1 and isinstance(option[0], Word)))


def _check_sequence(sequence: tuple[Item, ...]) -> None:
    if not any(isinstance(item, Word | Span) for item in sequence):
        raise PhraseError("every word in it may be missing, so it would match nothing; make one word required")
    if isinstance(sequence[0], Gap) or isinstance(sequence[-1], Gap):
        raise PhraseError("'...' may stand only between words")
