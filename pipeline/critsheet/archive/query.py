"""What a person types into the search, and what it asks of the index.

Words, "phrases in quotation marks", and -words to leave out; everything else typed is plain text, never the query
language of a database.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from critsheet.archive.terms import LONGEST_TERM, concept, concepts_in, terms_of
from critsheet.errors import InputError
from critsheet.vocabulary.tokens import Token, stem_of, tokenise

if TYPE_CHECKING:
    from critsheet.vocabulary import Vocabulary

MOST_WORDS = 32
"""Nobody types more; a pasted page would keep the index busy for minutes."""
_PART = re.compile(r"""(?P<without>(?<!\S)[-−])?(?:["“”„](?P<phrase>[^"“”„]*)(?:["“”„]|$)|(?P<word>[^\s"“”„]+))""")
_ASIDE = frozenset(
    stem_of(word)
    for word in """
    a an the this that these those here there it its i me my you your he him his she her they them their we us our who
    whom which what why how when where whether is do have can could would should shall will may might must and or but if
    then than as at by for from in of on to with about into get look seem feel not no please find show something thing
    very so such too just really actually 's
    """.split()
)
"""Words that a question is made of, and that tell no note from another."""


@dataclass(frozen=True)
class Phrase:
    """Terms that follow each other; a single one is a word."""

    terms: tuple[str, ...]


@dataclass(frozen=True)
class Any:
    """One of the parts, at least."""

    parts: tuple["Node", ...]


@dataclass(frozen=True)
class All:
    """Each of the parts, and none of `without`."""

    parts: tuple["Node", ...]
    without: tuple["Node", ...] = ()


Node = Phrase | Any | All


@dataclass(frozen=True)
class Asked:
    """What was typed, understood: `parts` are each a word or phrase, or other ways of saying it as well.

    `terms` and `concepts` are what counts as a match when the words of a note are marked.
    """

    parts: tuple[Node, ...]
    without: tuple[Node, ...] = ()
    terms: frozenset[tuple[str, ...]] = field(default_factory=frozenset)
    concepts: frozenset[str] = field(default_factory=frozenset)

    def strictly(self, facts: Sequence[str] = ()) -> All:
        """Every part."""
        return All((*_filters(facts), *self.parts), self.without)

    def loosely(self, facts: Sequence[str] = ()) -> All:
        """Any part."""
        return All((*_filters(facts), Any(self.parts)), self.without)


def understand(typed: str, vocabulary: "Vocabulary") -> Asked:
    """What a person typed asks for. Nothing to look for gives no parts. Raises InputError for far too much."""
    words: list[str] = []
    parts: list[Node] = []
    without: list[Node] = []
    terms: set[tuple[str, ...]] = set()
    count = 0
    for match in _PART.finditer(typed):
        said = match["phrase"] if match["phrase"] is not None else match["word"]
        found = tuple(terms_of(said))
        count += len(found)
        if match["without"] and found:
            without.append(Phrase(found))
        elif match["phrase"] is None:
            words.append(said)
        elif found:
            parts.append(Phrase(found))
            terms.add(found)
    if count > MOST_WORDS:
        raise InputError(f"That is more than {MOST_WORDS} words.", "Type the few that matter.")
    free, free_terms, concepts = _words(words, vocabulary)
    return Asked((*parts, *free), tuple(without), frozenset(terms | free_terms), frozenset(concepts))


def _words(words: Sequence[str], vocabulary: "Vocabulary") -> tuple[list[Node], set[tuple[str, ...]], set[str]]:
    """The words, each a part of its own, save where several together have another way of being said."""
    tokens = [replace(token, stem=token.stem[:LONGEST_TERM]) for token in tokenise(words) if token.stem]
    telling = _telling(tokens)
    found = [(each.group, each.start, each.end) for each in concepts_in(words, vocabulary)]
    found += _categories(tokens, vocabulary)
    parts: list[Node] = []
    for first, last in _stretches(len(words), [(start, end) for _, start, end in found]):
        inside = [token for token in telling if first <= token.word < last]
        ways: list[Node] = [_all([Phrase((token.stem,)) for token in inside])] if inside else []
        for group, start, end in found:
            if first <= start and end <= last:
                rest: list[Node] = [Phrase((token.stem,)) for token in inside if not start <= token.word < end]
                ways.append(_all([Phrase((concept(group),)), *rest]))
        if len(ways) == 1 and isinstance(ways[0], All):
            parts += ways[0].parts
        elif ways:
            parts.append(ways[0] if len(ways) == 1 else Any(tuple(dict.fromkeys(ways))))
    return parts, {(token.stem,) for token in telling}, {group for group, _, _ in found}


def _categories(tokens: Sequence[Token], vocabulary: "Vocabulary") -> list[tuple[str, int, int]]:
    """The categories that are named, by their ids or names, with the words that name them."""
    found = []
    stems = tuple(token.stem for token in tokens)
    for category in vocabulary.categories.values():
        for name in {tuple(terms_of(category.id)), tuple(terms_of(category.name))}:
            for place in range(len(stems) - len(name) + 1):
                if stems[place : place + len(name)] == name:
                    found.append((category.id, tokens[place].word, tokens[place + len(name) - 1].word + 1))
    return sorted(found)


def _telling(tokens: Sequence[Token]) -> list[Token]:
    """The words that tell notes apart; all of them where none does."""
    every = list({token.stem: token for token in reversed(tokens)}.values())[::-1]
    told = [token for token in every if token.stem not in _ASIDE]
    return told or every


def _stretches(length: int, spans: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """The words cut where no span reaches over the cut."""
    inside = {place for start, end in spans for place in range(start + 1, end)}
    cuts = [place for place in range(length + 1) if place not in inside]
    return list(zip(cuts, cuts[1:], strict=False))


def _all(parts: Sequence[Node]) -> Node:
    return parts[0] if len(parts) == 1 else All(tuple(parts))


def _filters(facts: Sequence[str]) -> list[Node]:
    return [Phrase((fact,)) for fact in facts]
