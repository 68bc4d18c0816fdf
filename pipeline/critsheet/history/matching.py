"""Which mention in this talk takes up which earlier note, and what became of it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from critsheet.earlier import Outcome
from critsheet.history.likeness import Comparer
from critsheet.history.mentions import Mention
from critsheet.history.topics import Topic

SAME_ABOVE, SURELY_SAME_ABOVE = 2.2, 3.0
"""Likeness from which a note takes up an earlier one, and from which that is no doubt."""

NAMED_ABOVE, SURELY_NAMED_ABOVE = 1.3, 2.0
"""The same for a note that says itself that it was asked for before: something earlier is meant, only which?"""

PASSING_ABOVE, SURELY_PASSING_ABOVE = 1.5, 3.0
"""The same for a clause that says so; rules find that, which are wrong more often."""

CLOSE = 0.6
"""A second earlier note that is less alike by no more than this might be meant as well."""

_OTHER_EARLIER = "another earlier note may be meant"
_OTHER_MATTER = "something else may be meant"
_MIXED = "praise and fault stand side by side there"


@dataclass(frozen=True)
class Match:
    """The earlier note at place `earlier` is taken up by `mention`; `doubt` is None where that is clear."""

    earlier: int
    mention: Mention
    outcome: Outcome
    doubt: str | None


def matches(earlier: Sequence[Topic], whole: Sequence[Mention], passing: Sequence[Mention]) -> list[Match]:
    """The earlier notes that are taken up, each by one mention, in order.

    A note takes up one earlier note, the one it is most like, and ties go to what was raised first. Clauses said in
    passing serve the earlier notes left over; inside a note they may say more plainly what became of it.
    """
    comparer = Comparer(earlier, [mention.topic for mention in whole])
    found = _paired(comparer, earlier, whole, range(len(earlier)))
    left = [place for place in range(len(earlier)) if place not in {match.earlier for match in found}]
    found = [_as_said(comparer, earlier[match.earlier], match, passing) for match in found]
    found += _paired(comparer, earlier, passing, left)
    return sorted(found, key=lambda match: match.earlier)


def _paired(
    comparer: Comparer, earlier: Sequence[Topic], mentions: Sequence[Mention], places: Sequence[int]
) -> list[Match]:
    """One-to-one, the most alike first."""
    table = {place: [comparer.likeness(earlier[place], mention.topic) for mention in mentions] for place in places}
    pairs = sorted((-likeness, place, column) for place, row in table.items() for column, likeness in enumerate(row))
    found: dict[int, Match] = {}
    taken: set[int] = set()
    for negative, place, column in pairs:
        mention, likeness = mentions[column], -negative
        if likeness >= _bars(mention)[0] and place not in found and column not in taken:
            rivals = (row[column] for other, row in table.items() if other != place and other not in found)
            unsure = not mention.plainly and comparer.only_labels(earlier[place], mention.topic)
            close = max(rivals, default=-math.inf) > likeness - CLOSE
            doubt = _OTHER_EARLIER if close else _OTHER_MATTER if unsure else _doubt(mention, likeness)
            found[place] = Match(place, mention, mention.says, doubt)
            taken.add(column)
    return list(found.values())


def _as_said(comparer: Comparer, topic: Topic, match: Match, passing: Sequence[Mention]) -> Match:
    """A match as a clause inside its note has it, unless the note as a whole speaks of an earlier one; then a doubt."""
    inside = [mention for mention in passing if mention.note is match.mention.note]
    said = [mention for mention in inside if comparer.likeness(topic, mention.topic) >= _bars(mention)[0]]
    if not said or {mention.says for mention in said} == {match.outcome}:
        return match
    if match.mention.plainly:
        return replace(match, doubt=_MIXED)
    outcome: Outcome = "resolved" if all(mention.says == "resolved" for mention in said) else "repeated"
    return replace(match, outcome=outcome, doubt=_MIXED)


def _bars(mention: Mention) -> tuple[float, float]:
    """The likeness that a mention needs to take up an earlier note at all, and to do so surely."""
    if mention.plainly:
        return (NAMED_ABOVE, SURELY_NAMED_ABOVE) if mention.whole else (PASSING_ABOVE, SURELY_PASSING_ABOVE)
    return SAME_ABOVE, SURELY_SAME_ABOVE


def _doubt(mention: Mention, likeness: float) -> str | None:
    if likeness < _bars(mention)[1]:
        return _OTHER_MATTER
    if mention.note and (mention.says == "resolved") != (mention.note.kind == "keep"):
        return _MIXED
    return None
