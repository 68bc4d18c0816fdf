"""Notes: remarks gathered into notes, labelled, worded as actions and put in order."""

from critsheet.notes.find import find_notes

__all__ = ["find_notes"]
