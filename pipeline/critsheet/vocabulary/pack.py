"""Joins the shipped pack and a school's own folders into one checked vocabulary.

A later folder adds its phrases to the category of the same id and its texts replace the earlier ones;
with `replace: true` a category file forgets what earlier folders said about that category. Where a later
folder gives a phrase another meaning, the later one wins.
"""

import hashlib
from collections.abc import Iterable, Sequence
from itertools import chain
from pathlib import Path

from critsheet import resources
from critsheet.vocabulary.clashes import CLASH_HINT, clash, covered
from critsheet.vocabulary.entries import BODY_PARTS, CATEGORIES
from critsheet.vocabulary.layer import CUES, TEXTS, CategoryPart, Layer, read_layer
from critsheet.vocabulary.model import CategoryEntry, Phrase, Vocabulary
from critsheet.vocabulary.nodes import Place
from critsheet.vocabulary.phrases import SUBJECT_KINDS
from critsheet.vocabulary.synonyms import join_groups

SHIPPED = "animation"


def load(folders: Sequence[Path] = ()) -> Vocabulary:
    """The shipped pack with each folder laid over it, in the order given.

    Raises VocabularyError, naming file and line, for any mistake in a folder.
    """
    shipped = read_layer(resources.folder("vocab") / SHIPPED, SHIPPED)
    return join([shipped, *(read_layer(Path(folder), str(folder)) for folder in folders)])


def join(layers: Sequence[Layer]) -> Vocabulary:
    """One vocabulary from layers, the first one lowest. Raises VocabularyError where rules clash.

    Clashes inside the lowest layer, the shipped pack, are left to `critsheet vocab check` and the tests.
    """
    stacks = {id: _stack(id, layers) for id in CATEGORIES if any(id in layer.categories for layer in layers)}
    parts = {id: [part for _, part in stack] for id, stack in stacks.items()}
    judged = _settled([_judged(stacks.values(), number) for number in range(len(layers))])
    cues = _settled([layer.cues for layer in layers])
    body = _settled([layer.body for layer in layers])
    subjects = _settled([layer.subjects for layer in layers])
    synonyms = [part for layer in layers for part in layer.synonyms]
    ways = _settled([[phrase for part in layer.synonyms for phrase in part.phrases] for layer in layers])
    everything = [part for stack in parts.values() for part in stack]
    return Vocabulary(
        categories={id: _entry(id, stack) for id, stack in parts.items()},
        phrases=(*judged, *cues),
        cues=_grouped(cues, CUES),
        body=_grouped(body, BODY_PARTS),
        subjects=_grouped(subjects, SUBJECT_KINDS),
        misheard=tuple(misheard for part in everything for misheard in part.misheard),
        synonyms=join_groups(synonyms, ways),
        stages=next((layer.stages for layer in reversed(layers) if layer.stages), ()),
        examples=(
            *chain.from_iterable(part.examples for part in everything),
            *chain.from_iterable(part.examples for part in synonyms),
        ),
        hints=tuple(dict.fromkeys(_in_turn([part.hints for part in everything]))),
        sha256=hashlib.sha256("".join(layer.digest for layer in layers).encode()).hexdigest(),
    )


def _stack(category: str, layers: Sequence[Layer]) -> list[tuple[int, CategoryPart]]:
    """The parts that count for a category, lowest first, each with the number of its layer."""
    stack: list[tuple[int, CategoryPart]] = []
    for number, layer in enumerate(layers):
        part = layer.categories.get(category)
        if part is not None:
            stack = [(number, part)] if part.replace else [*stack, (number, part)]
    return stack


def _judged(stacks: Iterable[list[tuple[int, CategoryPart]]], layer: int) -> list[Phrase]:
    return [phrase for stack in stacks for number, part in stack if number == layer for phrase in part.phrases]


def _entry(category: str, stack: list[CategoryPart]) -> CategoryEntry:
    texts = dict(chain.from_iterable(part.texts.items() for part in stack))
    orders = [part.order for part in stack if part.order is not None]
    missing = [key for key in TEXTS if key not in texts] + ([] if orders else ["order"])
    if missing:
        stack[-1].place.fail(
            f"category {category!r} lacks {', '.join(missing)}.",
            "Add them, or leave out 'replace: true' to keep those of the shipped pack.",
        )
    return CategoryEntry(
        id=category,
        name=texts["name"],
        meaning=texts["meaning"],
        why=texts["why"],
        remedy=texts["fix"],
        check=texts["check"],
        order=orders[-1],
        file=stack[-1].place.file,
    )


def _settled(layers: Sequence[Sequence[Phrase]]) -> tuple[Phrase, ...]:
    """All phrases: inside a later layer a clash is an error, between layers the later phrase wins."""
    kept = {phrase.id: phrase for phrase in layers[0]}
    for phrases in layers[1:]:
        if not phrases:
            continue
        for phrase, other in covered(phrases):
            Place(phrase.file, phrase.line).fail(clash(phrase, other), CLASH_HINT)
        kept.update((phrase.id, phrase) for phrase in phrases)
        own = {phrase.id for phrase in phrases}
        for phrase, other in covered(list(kept.values())):
            if (phrase.id in own) != (other.id in own):
                kept.pop(other.id if phrase.id in own else phrase.id, None)
    return tuple(kept.values())


def _grouped(phrases: Sequence[Phrase], names: Sequence[str]) -> dict[str, tuple[Phrase, ...]]:
    return {name: tuple(phrase for phrase in phrases if phrase.function == name) for name in names}


def _in_turn(lists: Sequence[tuple[str, ...]]) -> Iterable[str]:
    """The first of every list, then the second of every list, and so on."""
    longest = max(map(len, lists), default=0)
    return [items[place] for place in range(longest) for items in lists if place < len(items)]
