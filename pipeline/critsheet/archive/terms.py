"""The terms that a note is found by: stems of its words, the trade's synonyms in it, and what it is filed under."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from critsheet.vocabulary.tokens import pieces, stem_of

if TYPE_CHECKING:
    from critsheet.language.terms import SynonymFinding
    from critsheet.sheet import Note
    from critsheet.vocabulary import Vocabulary

MOST_WORDS = 2_000
"""Of one text; ten minutes of talk without a pause for breath. The sheet itself is kept whole."""
LONGEST_TERM = 40
"""Letters; the longest words of English are shorter, and no keyboard mash should fill the index."""


def terms_of(text: str) -> list[str]:
    """The stems of a text's words, in order: letters a-z and digits alone, so that no database reads them otherwise."""
    return [stem_of(form)[:LONGEST_TERM] for word in _words(text) for form in pieces(word)]


def concept(group: str) -> str:
    """The term of a group of synonyms."""
    return f"~{group}"


def fact(what: str, value: str | int) -> str:
    """The term of what a note is filed under: its category, a body part, its student."""
    return f"={what}-{value}"


def concepts_in(words: Sequence[str], vocabulary: "Vocabulary") -> "list[SynonymFinding]":
    """The trade's synonyms in spoken words."""
    from critsheet.language.terms import find_synonyms

    return find_synonyms(words, vocabulary)


def concepts_of(note: "Note", texts: Iterable[str], vocabulary: "Vocabulary") -> list[str]:
    """The terms of what a note is about, each once: its categories, and all synonyms in its texts."""
    groups = {found.group for text in texts for found in concepts_in(_words(text), vocabulary)}
    return sorted(map(concept, {note.category, *note.also, *groups}))


def labels_of(note: "Note") -> list[str]:
    """The terms of a note's labels: kind, categories, body parts."""
    categories = dict.fromkeys((note.category, *note.also))
    return [
        fact("kind", note.kind),
        *(fact("category", category) for category in categories),
        *(fact("body", part) for part in note.body),
    ]


def _words(text: str) -> list[str]:
    return text.split(maxsplit=MOST_WORDS)[:MOST_WORDS]
