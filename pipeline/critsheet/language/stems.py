"""Word stems, for every stage that compares words by meaning rather than by form."""

from critsheet.vocabulary.stems import stem

__all__ = ["stem"]
