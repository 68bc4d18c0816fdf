"""Rules that contradict each other: one says nothing that the other doesn't, yet means something else."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from math import prod

from critsheet.vocabulary.model import STRENGTHS, Phrase
from critsheet.vocabulary.phrases import Item, Pattern, Word

_MAX_FORMS = 4096
"""Rows of one sequence above which it is compared as a whole, to bound the work on a hostile file."""

_Form = tuple[object, ...]


def covered(phrases: Sequence[Phrase]) -> Iterator[tuple[Phrase, Phrase]]:
    """Every phrase whose forms all belong to one other phrase of another meaning, with that other one."""
    forms = [frozenset(_forms(phrase.pattern)) for phrase in phrases]
    owners: dict[_Form, list[int]] = {}
    for number, own in enumerate(forms):
        for form in own:
            owners.setdefault(form, []).append(number)
    for number, phrase in enumerate(phrases):
        for other in owners[next(iter(forms[number]))]:
            if other != number and _differ(phrase, phrases[other]) and forms[number] <= forms[other]:
                yield phrase, phrases[other]


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
