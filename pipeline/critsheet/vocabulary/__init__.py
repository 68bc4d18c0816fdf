"""The vocabulary pack: what mentors say and what it means, as data.

`load` gives a checked Vocabulary; `critsheet.language.terms.find` applies it.
"""

from critsheet.vocabulary.model import (
    CategoryEntry,
    Example,
    Misheard,
    Phrase,
    Stage,
    SynonymGroup,
    Vocabulary,
)
from critsheet.vocabulary.pack import load

__all__ = ["CategoryEntry", "Example", "Misheard", "Phrase", "Stage", "SynonymGroup", "Vocabulary", "load"]
