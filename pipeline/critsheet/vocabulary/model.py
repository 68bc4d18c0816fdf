"""What a vocabulary pack holds, once read and checked."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from critsheet.vocabulary.phrases import Pattern

STRENGTHS = ("fault", "remedy", "praise")
"""Functions of a phrase that judge the work; `word` is a neutral trade term, weaker evidence."""

CATEGORY_FUNCTIONS = ("word", *STRENGTHS)


@dataclass(frozen=True)
class Phrase:
    """One rule. `function` is word, fault, remedy or praise for a category, otherwise the cue's name.

    `near` and `unless` are patterns of which one must, or none may, stand within a dozen words.
    """

    id: str
    category: str | None
    function: str
    text: str
    pattern: Pattern
    near: tuple[Pattern, ...] = ()
    unless: tuple[Pattern, ...] = ()
    file: str = ""
    line: int = 0


@dataclass(frozen=True)
class CategoryEntry:
    """What a category means, for a student; `order` is its rank in the order of work, 1 first."""

    id: str
    name: str
    meaning: str
    why: str
    remedy: str
    check: str
    order: int
    file: str


@dataclass(frozen=True)
class Misheard:
    """Forms that a recogniser writes instead of a trade term, each as its lower-case words.

    Where `near` is empty, any craft word or body part nearby decides.
    """

    id: str
    category: str
    heard: tuple[tuple[str, ...], ...]
    meant: str
    near: tuple[Pattern, ...] = ()
    file: str = ""
    line: int = 0


@dataclass(frozen=True)
class Stage:
    """A stage of work: what is settled in it, what it is too early for, and how mentors name it."""

    id: str
    name: str
    order: int
    settle: tuple[str, ...]
    premature: tuple[str, ...]
    phrases: tuple[Phrase, ...]


@dataclass(frozen=True)
class SynonymGroup:
    """Ways of saying one and the same thing; the phrases' function is its id, `meaning` one plain sentence."""

    id: str
    category: str
    meaning: str
    phrases: tuple[Phrase, ...]


@dataclass(frozen=True)
class Example:
    """A sentence in which a category, or where `group` is given that group of synonyms, must or must not be found."""

    category: str
    text: str
    expected: bool
    file: str
    line: int
    group: str = ""


@dataclass(frozen=True, eq=False)
class Vocabulary:
    """A checked pack: categories and rules in a fixed order, compared by identity.

    `body` and `subjects` hold each canonical body part's or kind of subject's names as phrases; `sha256` is over
    every file read, in hex.
    """

    categories: Mapping[str, CategoryEntry]
    phrases: tuple[Phrase, ...]
    body: Mapping[str, tuple[Phrase, ...]]
    subjects: Mapping[str, tuple[Phrase, ...]]
    misheard: tuple[Misheard, ...]
    stages: tuple[Stage, ...]
    examples: tuple[Example, ...]
    hints: tuple[str, ...]
    sha256: str
    cues: Mapping[str, tuple[Phrase, ...]] = field(default_factory=dict)
    synonyms: tuple[SynonymGroup, ...] = ()

    def prompt_terms(self) -> tuple[str, ...]:
        """The trade terms that help a recogniser most, best first."""
        return self.hints
