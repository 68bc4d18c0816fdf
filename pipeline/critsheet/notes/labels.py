"""The labels of a note: category, scope, strength, follow-up, place, body parts, subject.

Learned choices over named evidence, the vocabulary's first. Each comes with its probability; what stays
uncertain is said so in the note's doubts.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from critsheet.language.learned import Choice, choice
from critsheet.notes.about import About
from critsheet.sheet import BodyPart, Category, FollowUp, Place, Scope, Strength

UNSURE = 0.45
"""Below this probability a category is shown as doubtful."""

ALSO_ABOVE = 0.25
"""A second category is named from this probability on."""

NO_LABEL = "none"


@dataclass(frozen=True)
class Labels:
    """The labels of one note; `category_chance` is the probability of its category (0..1)."""

    category: Category
    category_chance: float
    also: tuple[Category, ...]
    scope: Scope
    strength: Strength | None
    followup: FollowUp | None
    place: Place | None
    body: tuple[BodyPart, ...]
    subject: str | None


def labels(note: About) -> Labels:
    """All labels of one note."""
    chances = choice("category").probabilities(note.evidence)
    ranked = sorted(chances, key=lambda name: (-chances[name], name))
    followup = _label(choice("followup"), note)
    return Labels(
        category=cast(Category, ranked[0]),
        category_chance=chances[ranked[0]],
        also=tuple(cast(Category, name) for name in ranked[1:] if chances[name] > ALSO_ABOVE),
        scope=cast(Scope, _label(choice("scope"), note)),
        strength=None if note.kind == "keep" else cast(Strength, _label(choice("strength"), note)),
        followup=None if followup == NO_LABEL else cast(FollowUp, followup),
        place=_place(note),
        body=cast(tuple[BodyPart, ...], note.parts),
        subject=_subject(note),
    )


def _label(model: Choice, note: About) -> str:
    return model.best(note.manner)[0]


def _place(note: About) -> Place | None:
    """Start, middle or end where only words tell; none where a frame does."""
    if any(remark.frames for remark in note.remarks):
        return None
    places: tuple[Place, ...] = ("start", "end", "middle")
    return next((place for place in places if note.has(f"place_{place}")), None)


def _subject(note: About) -> str | None:
    """The character or prop meant: the one named most, by name before by pronoun; none where two are equal."""
    found = [subject for remark in note.remarks for subject in remark.subjects]
    counts = Counter(subject.name for subject in found if subject.by_name) or Counter(s.name for s in found)
    leaders = _leaders(counts)
    if len(leaders) > 1 and (first := _first_named(note, leaders)):
        return first
    return leaders[0] if leaders else None


def _leaders(counts: Counter[str]) -> list[str]:
    most = max(counts.values(), default=0)
    return [name for name, count in counts.items() if count == most]


def _first_named(note: About, names: Sequence[str]) -> str | None:
    """Of several names, the one that a clause begins with: the thing that moves wrongly comes first in speech."""
    mentions = [subject for remark in note.remarks for subject in remark.subjects if subject.name in names]
    return mentions[0].name if mentions else None
