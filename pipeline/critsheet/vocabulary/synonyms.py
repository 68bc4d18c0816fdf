"""Groups of synonyms: ways of saying one and the same thing, by which a search for one finds the others.

- id: foot-slide
  category: contact
  meaning: A foot moves over the ground while it should stand.
  say: [skate, ~foot slide, plant ~foot]
  examples:
    match: [The left heel keeps sliding.]
    no_match: [Slide the pose back a frame.]
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from critsheet.vocabulary.entries import CATEGORIES, one_of, read_examples, read_phrase, refuse_repeats
from critsheet.vocabulary.model import Example, Phrase, SynonymGroup
from critsheet.vocabulary.nodes import Node, Place

_KEYS = ("id", "category", "meaning", "say", "examples")
_ID = re.compile(r"[a-z][a-z-]{1,38}")
"""With a mark before it, it is a term of an archive's index, which holds terms of up to forty letters."""


@dataclass(frozen=True)
class SynonymPart:
    """What one folder says about one group; what it leaves out is empty."""

    id: str
    place: Place
    category: str
    meaning: str
    phrases: tuple[Phrase, ...]
    examples: tuple[Example, ...]


def read_synonyms(root: Node) -> tuple[SynonymPart, ...]:
    """The groups that a synonyms.yaml holds. Raises VocabularyError."""
    parts: dict[str, SynonymPart] = {}
    for node in root.items("synonyms.yaml"):
        part = _part(node)
        if part.id in parts:
            part.place.fail(f"group {part.id!r} is given twice.", f"Join it with line {parts[part.id].place.line}.")
        parts[part.id] = part
    return tuple(parts.values())


def _part(node: Node) -> SynonymPart:
    entries = node.entries("a group of synonyms", _KEYS)
    if "id" not in entries:
        node.place.fail("the group has no id.", "Add for example 'id: foot-slide'.")
    place, group = entries["id"].place, entries["id"].text("id")
    if not _ID.fullmatch(group):
        place.fail(f"{group!r} is not a name for a group.", "Use small letters and dashes: foot-slide.")
    phrases = tuple(read_phrase(item, None, group) for item in entries["say"].items("say")) if "say" in entries else ()
    refuse_repeats(phrases)
    return SynonymPart(
        id=group,
        place=place,
        category=one_of(entries["category"], "category", CATEGORIES) if "category" in entries else "",
        meaning=entries["meaning"].text("meaning") if "meaning" in entries else "",
        phrases=phrases,
        examples=read_examples(entries["examples"], group=group) if "examples" in entries else (),
    )


def join_groups(parts: Sequence[SynonymPart], phrases: Sequence[Phrase]) -> tuple[SynonymGroup, ...]:
    """All groups with the phrases that count, from the parts of every folder, the lowest first.

    Raises VocabularyError where no folder says what a group is.
    """
    joined: dict[str, SynonymGroup] = {}
    for part in parts:
        below = joined.get(part.id, SynonymGroup(part.id, "", "", ()))
        group = SynonymGroup(
            id=part.id,
            category=part.category or below.category,
            meaning=part.meaning or below.meaning,
            phrases=tuple(phrase for phrase in phrases if phrase.function == part.id),
        )
        if missing := [key for key in ("category", "meaning") if not getattr(group, key)]:
            part.place.fail(f"group {part.id!r} lacks {' and '.join(missing)}.", "A new group needs both; add them.")
        joined[part.id] = group
    return tuple(joined.values())
