"""Which of the body parts named in a note it is about: "plant the foot next to the hand" is about the foot."""

from collections.abc import Mapping
from typing import cast

from critsheet.language.learned import Features, choice
from critsheet.language.remarks import Remark
from critsheet.language.terms import BodyFinding
from critsheet.notes.about import About
from critsheet.sheet import BodyPart

MEANT, BY_THE_WAY = "meant", "by the way"
MEANT_ABOVE = 0.3
"""Only what is clearly named by the way is left out: a missing part costs the student more than one too many."""

PREPOSITIONS = frozenset(
    "to of on onto at in into with from under over behind by for through past off against around along near".split()
)
"""After one of these a thing is mostly named by the way: the place, not the matter."""

LOOK_BACK = 2
_MANY = 4


def parts_meant(note: About) -> tuple[BodyPart, ...]:
    """The body parts that a note is about, in order of first mention."""
    model = choice("parts")
    return tuple(
        cast(BodyPart, part)
        for part, features in part_evidence(note).items()
        if model.probabilities(features)[MEANT] > MEANT_ABOVE
    )


def part_evidence(note: About) -> Mapping[str, Features]:
    """For each body part named, the evidence on whether it is meant."""
    rows: dict[str, dict[str, float]] = {}
    for remark in note.remarks:
        for found in remark.body:
            row = rows.setdefault(found.part, {})
            row |= _mention(remark, found)
            row["mentions"] = min(3.0, row.get("mentions", 0.0) + 1.0)
            row["after a preposition"] = row.get("after a preposition", 0.0) + _by_the_way(remark, found)
    trade = {found.category for remark in note.remarks for found in remark.findings if found.category}
    for place, (part, row) in enumerate(rows.items()):
        row |= {"always": 1.0, f"part {part}": 1.0, f"kind {note.kind}": 1.0, f"of {min(_MANY, len(rows))}": 1.0}
        row |= {f"{category}, {part}": 1.0 for category in trade}
        row["after a preposition"] /= row["mentions"]
        if place == 0:
            row["named first"] = 1.0
    return rows


def _mention(remark: Remark, found: BodyFinding) -> dict[str, float]:
    at, end = found.start - remark.first, found.end - remark.first
    row = {f"called {found.text.lower()}": 1.0, f"in {remark.function}": 1.0}
    if at > 0:
        row[f"after {remark.words[at - 1].lower()}"] = 1.0
    if end < len(remark.words):
        row[f"before {remark.words[end].lower()}"] = 1.0
    return row


def _by_the_way(remark: Remark, found: BodyFinding) -> float:
    at = found.start - remark.first
    return float(any(word.lower() in PREPOSITIONS for word in remark.words[max(0, at - LOOK_BACK) : at]))
