"""Joins the shipped pack and a school's own folders into one checked vocabulary.

A later folder adds its phrases to the category of the same id and its texts replace the earlier ones;
with `replace: true` a category file forgets what earlier folders said about that category. Where a later
folder gives a phrase to another category or function, the later one wins.
"""

import hashlib
from collections.abc import Iterable, Sequence
from itertools import chain, product
from pathlib import Path

from critsheet import resources
from critsheet.vocabulary.layer import BODY_PARTS, CATEGORIES, CUES, SUBJECT_KINDS, CategoryPart, Layer, read_layer
from critsheet.vocabulary.model import STRENGTHS, CategoryEntry, Phrase, Vocabulary
from critsheet.vocabulary.nodes import Place
from critsheet.vocabulary.phrases import Item, Pattern, Word

SHIPPED = "animation"
_MAX_FORMS = 4096


def load(folders: Sequence[Path] = ()) -> Vocabulary:
    """The shipped pack with each folder laid over it, in the order given.

    Raises VocabularyError, naming file and line, for any mistake in a folder.
    """
    shipped = read_layer(resources.folder("vocab") / SHIPPED, SHIPPED)
    return join([shipped, *(read_layer(Path(folder), str(folder)) for folder in folders)])


def join(layers: Sequence[Layer]) -> Vocabulary:
    """One vocabulary from layers, the first one lowest. Raises VocabularyError where rules clash."""
    categories = {id: _stack(id, layers) for id in CATEGORIES if any(id in layer.categories for layer in layers)}
    parts = [part for stack in categories.values() for part in stack]
    judged = _settled([[p for part in parts if part.place.file.startswith(_root(layer)) for p in part.phrases] for layer in layers])
    cues = _settled([layer.cues for layer in layers])
    body = _settled([layer.body for layer in layers])
    subjects = _settled([layer.subjects for layer in layers])
    stages = next((layer.stages for layer in reversed(layers) if layer.stages), ())
    return Vocabulary(
        categories={id: _entry(id, stack) for id, stack in categories.items()},
        phrases=(*judged, *cues),
        body={part: tuple(p for p in body if p.function == part) for part in BODY_PARTS},
        subjects={kind: tuple(p for p in subjects if p.function == kind) for kind in SUBJECT_KINDS},
        misheard=tuple(misheard for part in parts for misheard in part.misheard),
        stages=stages,
        examples=tuple(example for part in parts for example in part.examples),
        hints=tuple(dict.fromkeys(hint for part in parts for hint in part.hints)),
        sha256=hashlib.sha256("".join(layer.digest for layer in layers).encode()).hexdigest(),
        cues={function: tuple(p for p in cues if p.function == function) for function in CUES},
    )


def _root(layer: Layer) -> str:
    return f"{layer.shown}/categories/"


def _stack(category: str, layers: Sequence[Layer]) -> list[CategoryPart]:
    """The parts that count for a category, lowest first."""
    stack: list[CategoryPart] = []
    for layer in layers:
        part = layer.categories.get(category)
        if part is not None:
            stack = [part] if part.replace else [*stack, part]
    return stack


def _entry(category: str, stack: list[CategoryPart]) -> CategoryEntry:
    texts = dict(chain.from_iterable(part.texts.items() for part in stack))
    orders = [part.order for part in stack if part.order is not None]
    missing = [key for key in ("name", "meaning", "why", "fix", "check") if key not in texts]
    missing += [] if orders else ["order"]
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
    """All phrases; inside a layer a clash is an error, between layers the later phrase wins."""
    kept: dict[str, Phrase] = {}
    owners: dict[tuple[object, ...], Phrase] = {}
    for phrases in layers:
        fresh: set[str] = set()
        for phrase in phrases:
            for form in _forms(phrase.pattern):
                other = owners.get(form)
                if other is not None and other.id in kept and _clash(phrase, other):
                    if other.id in fresh:
                        _fail_clash(phrase, other)
                    del kept[other.id]
                owners[form] = phrase
            kept[phrase.id] = phrase
            fresh.add(phrase.id)
    return tuple(kept.values())


def _clash(one: Phrase, other: Phrase) -> bool:
    """Whether the same words would mean two things, with nothing to decide between them."""
    if one.near or one.unless or other.near or other.unless:
        return False
    if (one.category, one.function) == (other.category, other.function):
        return False  # two rules that say the same do no harm
    if one.category is None or one.category == other.category:
        return True
    return one.function in STRENGTHS and other.function in STRENGTHS


def _fail_clash(phrase: Phrase, other: Phrase) -> None:
    meaning = f"{other.category or 'cue'} {other.function}"
    Place(phrase.file, phrase.line).fail(
        f"the phrase {phrase.text!r} clashes with {other.text!r} ({meaning}, {other.file}:{other.line}).",
        "Remove one of them, or give one a deciding word with 'near'.",
    )


def _forms(pattern: Pattern) -> Iterable[tuple[object, ...]]:
    """Every exact row of words that a pattern stands for, with what it forbids beside it."""
    edges = (pattern.not_before, pattern.not_after)
    for sequence in pattern.sequences:
        options = [_options(item) for item in sequence]
        total = 1
        for option in options:
            total *= len(option)
        if total > _MAX_FORMS:
            yield (edges, sequence)
        else:
            for row in product(*options):
                yield (edges, row)


def _options(item: Item) -> Sequence[object]:
    return sorted(item.stems) + [f"={form}" for form in sorted(item.forms)] if isinstance(item, Word) else [item]
