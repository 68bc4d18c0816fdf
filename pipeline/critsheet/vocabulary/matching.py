"""Finds where patterns occur in speech; what follows from that is decided elsewhere.

A sequence is tried only where its rarest word occurs and the next rarest is said at all, forwards and backwards from
there, so that a pack of thousands of phrases reads a long recording in a fraction of a second.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from critsheet.vocabulary.model import Phrase
from critsheet.vocabulary.phrases import Gap, Item, Pattern, Row, Span, Word
from critsheet.vocabulary.tokens import BREAK, Token, pieces, stem_of, tokenise

GAP_WORDS = 4
"""How many other words `...` may cover."""

MAX_SKIPPED = 5
"""How many filler words in a row may stand between two words of a phrase."""

COMMON = frozenset(
    """
    be the a it to and of in that you i he she they not do have on with at for so no one all get go up out
    down what this there as when where how why can will would could just like more too very about from off over
    back hand foot eye head arm leg body frame look feel see want need make give keep bit little same time move
    """.split()
)
"""Words met so often in critiques that a phrase should be looked up by another of its words."""

_COMMON_WEIGHT = 10_000
_SIDES = frozenset(
    "left right back front rear far near other both whole upper lower top bottom inside outside outer inner leading "
    "trailing planted supporting support standing free screen little big poor good bad two the a this that these those "
    "his her its their your my each every all own".split()
)
_NUMBER_WORDS = frozenset(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred couple few several half "
    "dozen".split()
)
_GAP_STOPS = frozenset(["not", "no", "never", "without", BREAK])
"""`...` covers none of these: a negation turns round what is said."""

_NUMBER_JOINTS = frozenset(["and", "or", "to", "of"])


@dataclass(frozen=True)
class Match:
    """A phrase found: the positions of the tokens that it used, in order."""

    phrase: Phrase
    places: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Entry:
    """A sequence of a phrase: the place it is looked up by, and the stems and forms of which one must be said too."""

    phrase: Phrase
    sequence: Row
    anchor: int
    needed: frozenset[str]


Index = dict[str, list[Entry]]


@dataclass(frozen=True, eq=False)
class PhraseIndex:
    """Phrases by the rarest stem or exact form of each of their sequences.

    A sequence without a word of its own, such as "~hand ~face", is kept by the kind of its first span.
    """

    by_stem: Index
    by_form: Index
    by_span: Index


def index_phrases(phrases: Iterable[Phrase]) -> PhraseIndex:
    """An index for `search`."""
    chosen = list(phrases)
    counts: Counter[str] = Counter()
    for phrase in chosen:
        for sequence in phrase.pattern.sequences:
            counts.update(key for item in sequence if isinstance(item, Word) for key in item.stems | item.forms)
    index = PhraseIndex({}, {}, {})
    for phrase in chosen:
        for sequence in phrase.pattern.sequences:
            _enter(index, phrase, sequence, counts)
    return index


def _enter(index: PhraseIndex, phrase: Phrase, sequence: Row, counts: Mapping[str, int]) -> None:
    """Enters a sequence under its rarest word, or its first item where it has none; the next rarest is needed too."""
    words = sorted(
        (sum(counts[key] + _COMMON_WEIGHT * (key in COMMON) for key in item.stems | item.forms), place)
        for place, item in enumerate(sequence)
        if isinstance(item, Word)
    )
    anchor = words[0][1] if words else 0
    other = sequence[words[1][1]] if len(words) > 1 else None
    needed = other.stems | other.forms if isinstance(other, Word) else frozenset[str]()
    entry, item = Entry(phrase, sequence, anchor, needed), sequence[anchor]
    if isinstance(item, Word):
        for stem in item.stems:
            index.by_stem.setdefault(stem, []).append(entry)
        for form in item.forms:
            index.by_form.setdefault(form, []).append(entry)
    elif isinstance(item, Span):
        index.by_span.setdefault(item.kind, []).append(entry)


class Speech:
    """Tokens of speech, with the body parts, subjects and numbers that stand in it."""

    def __init__(self, words: Sequence[str], tokens: list[Token] | None = None) -> None:
        self.words = words
        self.tokens = tokenise(words) if tokens is None else tokens
        self._starts: dict[str, dict[int, list[int]]] = {}
        self._ends: dict[str, dict[int, list[int]]] = {}
        self._add_numbers()

    def add_span(self, kind: str, first: int, last: int) -> None:
        """Marks the tokens first..last (both included) as naming a `kind`."""
        self._starts.setdefault(kind, {}).setdefault(first, []).append(last)
        self._ends.setdefault(kind, {}).setdefault(last, []).append(first)

    def spans(self, kind: str) -> list[tuple[int, int]]:
        """All spans of a kind as (first, last) token positions, in order."""
        return sorted((first, last) for first, lasts in self._starts.get(kind, {}).items() for last in lasts)

    def _add_numbers(self) -> None:
        start: int | None = None
        for place, token in enumerate([*self.tokens, Token(BREAK, BREAK, -1)]):
            if _is_number(token.form) or (start is not None and token.form in _NUMBER_JOINTS):
                start = place if start is None else start
            elif start is not None:
                last = place - 1
                while self.tokens[last].form in _NUMBER_JOINTS and last > start and self.tokens[last].form != "of":
                    last -= 1
                self.add_span("number", start, last)
                start = None

    def fill(self, span: Span, place: int, step: int) -> list[tuple[int, ...]]:
        """The token positions that a span may cover from `place` on, reading in direction `step`."""
        if step > 0:
            return self._fill_forward(span.kind, place)
        return [
            tuple(range(first, place + 1))
            for first in sorted(self._ends.get(span.kind, {}).get(place, ()), reverse=True)
        ]

    def _fill_forward(self, kind: str, place: int) -> list[tuple[int, ...]]:
        starts = self._starts.get(kind, {})
        while True:
            if place in starts:
                return [tuple(range(place, last + 1)) for last in sorted(starts[place], reverse=True)]
            if place >= len(self.tokens) or self.tokens[place].form not in _SIDES:
                return []
            place += 1


def _is_number(form: str) -> bool:
    return form.isdigit() or form in _NUMBER_WORDS


def search(speech: Speech, index: PhraseIndex) -> list[Match]:
    """Every match of every indexed phrase, each phrase at most once over the same tokens, in order."""
    found: list[Match] = []
    said = {key for token in speech.tokens for key in (token.stem, token.form)}
    for place, token in enumerate(speech.tokens):
        for entry in (*index.by_stem.get(token.stem, ()), *index.by_form.get(token.form, ())):
            if entry.needed and entry.needed.isdisjoint(said):
                continue
            places = _around(speech, entry.sequence, entry.anchor, place)
            if places is not None and allowed(speech, entry.phrase.pattern, places):
                found.append(Match(entry.phrase, places))
    for kind, entries in index.by_span.items():
        for first, _ in speech.spans(kind):
            for entry in entries:
                places = walk(speech, entry.sequence, 0, first, 1)
                if places is not None and allowed(speech, entry.phrase.pattern, places):
                    found.append(Match(entry.phrase, places))
    return _without_repeats(found)


def _without_repeats(matches: Iterable[Match]) -> list[Match]:
    """Of one phrase's matches that share tokens, the longest; all matches in order of place."""
    kept: list[Match] = []
    taken: dict[str, set[int]] = {}
    for match in sorted(matches, key=lambda m: (-len(m.places), m.places, m.phrase.id)):
        used = taken.setdefault(match.phrase.id, set())
        if used.isdisjoint(match.places):
            used.update(match.places)
            kept.append(match)
    return sorted(kept, key=lambda m: (m.places, m.phrase.id))


def _around(speech: Speech, sequence: Row, anchor: int, place: int) -> tuple[int, ...] | None:
    after = walk(speech, sequence, anchor + 1, place + 1, 1)
    if after is None:
        return None
    before = walk(speech, sequence, anchor - 1, place - 1, -1)
    return None if before is None else tuple(sorted((*before, place, *after)))


def walk(speech: Speech, sequence: Row, number: int, place: int, step: int) -> tuple[int, ...] | None:
    """Token positions that the items from `number` on use, read from `place` in direction `step`."""
    if not 0 <= number < len(sequence):
        return ()
    if isinstance(sequence[number], Gap):
        return _over_gap(speech, sequence, number, place, step)
    tokens = speech.tokens
    for _ in range(MAX_SKIPPED + 1):
        if not 0 <= place < len(tokens) or tokens[place].form == BREAK:
            break
        for used in _filling(speech, sequence[number], place, step):
            rest = walk(speech, sequence, number + step, (used[-1] if step > 0 else used[0]) + step, step)
            if rest is not None:
                return (*used, *rest)
        if not tokens[place].skippable:
            break
        place += step
    return None


def _filling(speech: Speech, item: Item, place: int, step: int) -> list[tuple[int, ...]]:
    """The token positions that one item may use, starting at `place`."""
    if isinstance(item, Word):
        token = speech.tokens[place]
        return [(place,)] if token.stem in item.stems or token.form in item.forms else []
    return speech.fill(item, place, step) if isinstance(item, Span) else []


def _over_gap(speech: Speech, sequence: Row, number: int, place: int, step: int) -> tuple[int, ...] | None:
    for width in range(GAP_WORDS + 1):
        rest = walk(speech, sequence, number + step, place + width * step, step)
        if rest is not None:
            return rest
        here = place + width * step
        if not 0 <= here < len(speech.tokens) or speech.tokens[here].form in _GAP_STOPS:
            return None
    return None


def allowed(speech: Speech, pattern: Pattern, places: tuple[int, ...]) -> bool:
    """Whether no forbidden word stands right before or after a match, fillers aside."""
    return not (
        (pattern.not_before and _neighbour(speech, places[0] - 1, -1, pattern.not_before))
        or (pattern.not_after and _neighbour(speech, places[-1] + 1, 1, pattern.not_after))
    )


def _neighbour(speech: Speech, place: int, step: int, forbidden: frozenset[str]) -> bool:
    for _ in range(MAX_SKIPPED + 1):
        if not 0 <= place < len(speech.tokens) or speech.tokens[place].form == BREAK:
            return False
        if speech.tokens[place].stem in forbidden:
            return True
        if not speech.tokens[place].skippable:
            return False
        place += step
    return False


def occurs(speech: Speech, pattern: Pattern, first: int, last: int) -> bool:
    """Whether a pattern occurs within the tokens first..last (both included)."""
    for place in range(max(first, 0), min(last, len(speech.tokens) - 1) + 1):
        for sequence in pattern.sequences:
            places = walk(speech, sequence, 0, place, 1)
            if places is not None and places[-1] <= last and allowed(speech, pattern, places):
                return True
    return False


def name_sequence(name: str) -> tuple[str, ...]:
    """The stems by which a character's or prop's name is known, without its article."""
    return tuple(stem_of(piece) for piece in pieces(name) if piece not in {"the", "a", "an"})
