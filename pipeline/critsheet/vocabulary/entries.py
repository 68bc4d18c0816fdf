"""Reads what the files of a vocabulary have in common: phrases with the words that decide them, examples, choices.

Every function raises VocabularyError, naming file and line, for a mistake.
"""

from collections.abc import Sequence
from typing import get_args

from critsheet.sheet import BodyPart, Category
from critsheet.vocabulary.clashes import short
from critsheet.vocabulary.model import Example, Misheard, Phrase
from critsheet.vocabulary.nodes import Node, Place
from critsheet.vocabulary.phrases import SPAN_KINDS, Pattern, PhraseError, Span, compile_phrase
from critsheet.vocabulary.tokens import pieces

CATEGORIES: tuple[str, ...] = get_args(Category)
BODY_PARTS: tuple[str, ...] = get_args(BodyPart)
_CONDITION_KEYS = ("phrase", "near", "unless")


def read_phrase(node: Node, category: str | None, function: str) -> Phrase:
    """A phrase given as text, or as a mapping with the words that decide it."""
    if node.is_mapping:
        entries = node.entries("a phrase", _CONDITION_KEYS)
        if "phrase" not in entries:
            node.place.fail("the entry has no 'phrase'.", "Add 'phrase: ...'.")
        return read_conditional(node, entries, category, function)
    return read_conditional(node, {"phrase": node}, category, function)


def read_conditional(node: Node, entries: dict[str, Node], category: str | None, function: str) -> Phrase:
    """A phrase of a mapping that holds `phrase` and perhaps `near` and `unless`."""
    text = entries["phrase"].text("a phrase")
    pattern = _compiled(entries["phrase"])
    return Phrase(
        id=f"{category or 'cue'}/{function}: {text}",
        category=category,
        function=function,
        text=text,
        pattern=pattern,
        near=_patterns(entries, "near"),
        unless=_patterns(entries, "unless"),
        file=node.place.file,
        line=entries["phrase"].place.line,
    )


def _patterns(entries: dict[str, Node], key: str) -> tuple[Pattern, ...]:
    return tuple(_compiled(node) for node in entries[key].items(key)) if key in entries else ()


def _compiled(node: Node) -> Pattern:
    text = node.text("a phrase")
    try:
        pattern = compile_phrase(text)
    except PhraseError as error:
        node.place.fail(
            f"the phrase {short(text)!r} cannot be used: {error}.", "'critsheet vocab --help' explains phrases."
        )
    for item in {item for sequence in pattern.sequences for item in sequence if isinstance(item, Span)}:
        if item.kind not in SPAN_KINDS and item.kind not in BODY_PARTS:
            node.place.fail(
                f"the phrase {short(text)!r} would match nothing: '~{item.kind}' is unknown.",
                f"Use ~, {', '.join('~' + kind for kind in (*SPAN_KINDS[1:], *BODY_PARTS) if kind != 'number')}.",
            )
    return pattern


def read_misheard(node: Node, category: str) -> Misheard:
    """A misheard term of a category."""
    entries = node.entries("a misheard term", ("heard", "meant", "near"))
    for key in ("heard", "meant"):
        if key not in entries:
            node.place.fail(f"the misheard term has no {key!r}.", 'Write {heard: "arks|arts", meant: arcs}.')
    meant = entries["meant"].text("meant")
    heard = tuple(pieces_of(form) for form in entries["heard"].text("heard").split("|"))
    if not all(heard) or pieces_of(meant) in heard:
        node.place.fail(f"one of the forms heard for {meant!r} is empty or the term itself.", "Remove it.")
    near = _patterns(entries, "near")
    return Misheard(f"{category}/misheard: {meant}", category, heard, meant, near, node.place.file, node.place.line)


def pieces_of(text: str) -> tuple[str, ...]:
    """The comparable parts of a text of several words."""
    return tuple(piece for word in text.split() for piece in pieces(word))


def read_examples(node: Node, category: str = "", group: str = "") -> tuple[Example, ...]:
    """The sentences in which a category, or a group of synonyms, must or must not be found."""
    entries = node.entries("examples", ("match", "no_match"))
    return tuple(
        Example(category, item.text("an example"), key == "match", item.place.file, item.place.line, group)
        for key, values in entries.items()
        for item in values.items(key)
    )


def one_of(node: Node, what: str, choices: Sequence[str]) -> str:
    """The text of a node that may be one of a few."""
    written = node.text(what)
    if written not in choices:
        node.place.fail(f"{what} {written!r} is not known.", f"Use one of {', '.join(choices)}.")
    return written


def refuse_repeats(phrases: Sequence[Phrase]) -> None:
    """Fails where a phrase is given twice with one meaning."""
    seen: dict[str, int] = {}
    for phrase in phrases:
        if phrase.id in seen:
            Place(phrase.file, phrase.line).fail(
                f"the phrase {short(phrase.text)!r} is already on line {seen[phrase.id]}.", "Remove one of the two."
            )
        seen[phrase.id] = phrase.line
