"""Rules that contradict each other: one says nothing that the other doesn't, yet means something else."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from math import prod

from critsheet.vocabulary.model import STRENGTHS, Phrase
from critsheet.vocabulary.phrases import Item, Pattern, Word

_MAX_FORMS = 4096
"""Rows of one sequence above which it is compared as a whole, to bound the work on a hostile file."""

_SHORT = 60
"""Characters of a phrase that an error shows: about a line of a terminal with the rest around it."""

CLASH_HINT = "Remove one of them, or give one a deciding word with 'near'."

_Form = tuple[object, ...]


def covered(phrases: Sequence[Phrase]) -> Iterator[tuple[Phrase, Phrase]]:
    """Every phrase whose forms all belong to one other phrase of another meaning, with that other one."""
    keys = [_keys(phrase.pattern) for phrase in phrases]
    holders: dict[str, list[int]] = {}
    for number, own in enumerate(keys):
        for key in own:
            holders.setdefault(key, []).append(number)
    for number, phrase in enumerate(phrases):
        rarest = min(keys[number], key=lambda key: (len(holders[key]), key))
        for other in holders[rarest]:
            if other != number and keys[number] <= keys[other] and _covers(phrases[other], phrase):
                yield phrase, phrases[other]


def _keys(pattern: Pattern) -> frozenset[str]:
    """Everything that a pattern's places may be filled with, whatever their order."""
    items = (item for sequence in pattern.sequences for item in sequence)
    return frozenset(key for item in items for key in map(str, _options(item)))


def _covers(other: Phrase, phrase: Phrase) -> bool:
    return _differ(phrase, other) and frozenset(_forms(phrase.pattern)) <= frozenset(_forms(other.pattern))


def clash(phrase: Phrase, other: Phrase) -> str:
    """What is wrong between two rules, in one line."""
    return (
        f"the phrase {short(phrase.text)!r} ({_meaning(phrase)}) clashes with {short(other.text)!r} "
        f"({_meaning(other)}, {other.file}:{other.line})."
    )


def short(text: str) -> str:
    """A phrase cut to a length that fits into an error."""
    return text if len(text) <= _SHORT else text[: _SHORT - 1].rstrip() + "…"


def _meaning(phrase: Phrase) -> str:
    return f"{phrase.category} {phrase.function}" if phrase.category else phrase.function


def _differ(one: Phrase, other: Phrase) -> bool:
    """Whether two rules mean different things, with nothing in them to decide between them."""
    if one.near or one.unless or other.near or other.unless:
        return False
    if (one.category, one.function) == (other.category, other.function):
        return False  # two rules that say the same do no harm
    if one.category is None or other.category is None or one.category == other.category:
        return one.category == other.category
    return one.function in STRENGTHS and other.function in STRENGTHS


def _forms(pattern: Pattern) -> Iterable[_Form]:
    """Every exact row of words that a pattern stands for, with what it forbids beside it."""
    edges = (pattern.not_before, pattern.not_after)
    for sequence in pattern.sequences:
        options = [_options(item) for item in sequence]
        if prod(len(option) for option in options) > _MAX_FORMS:
            yield (edges, sequence)
        else:
            yield from ((edges, row) for row in product(*options))


def _options(item: Item) -> Sequence[object]:
    return sorted(item.stems) + [f"={form}" for form in sorted(item.forms)] if isinstance(item, Word) else [item]
