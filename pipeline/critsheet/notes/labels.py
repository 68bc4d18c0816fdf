"""The labels of a note: category, scope, strength, follow-up, place, body parts, subject.

Learned choices over named evidence, the vocabulary's first. Each comes with its probability; what stays
uncertain is said so in the note's doubts.
"""

from dataclasses import dataclass
from typing import cast

from critsheet.language.learned import Features, choice, trained_phrases
from critsheet.notes.about import About
from critsheet.notes.parts import LOOK_BACK, PREPOSITIONS, parts_meant
from critsheet.sheet import BodyPart, Category, FollowUp, Place, Scope, Strength
from critsheet.vocabulary.model import STRENGTHS

UNSURE = 0.45
"""Below this probability a category is shown as doubtful."""

ALSO_ABOVE = 0.25
"""A second category is named from this probability on."""

_BY_NAME, _BY_PRONOUN, _BY_THE_WAY = 1.0, 0.6, 0.3
"""How much a mention tells of whom a note is about; found by trial on the corpus."""


_RARE, _CUED = 2.0, 50.0
"""Overlooking stress, or "if you have time", costs more than seeing it where there is none; a mentor who says
"the biggest thing" is taken at their word."""

_NEW = 20.0
"""A school's own phrase has no weight of its own yet: whoever adds it means it to decide."""

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
    categories = chances("category", note)
    ranked = sorted(categories, key=lambda name: (-categories[name], name))
    followup = _likeliest("followup", note)
    return Labels(
        category=cast(Category, ranked[0]),
        category_chance=categories[ranked[0]],
        also=tuple(cast(Category, name) for name in ranked[1:] if categories[name] > ALSO_ABOVE),
        scope=cast(Scope, _likeliest("scope", note)),
        strength=None if note.kind == "keep" else cast(Strength, _likeliest("strength", note)),
        followup=None if followup == NO_LABEL else cast(FollowUp, followup),
        place=_place(note),
        body=parts_meant(note),
        subject=_subject(note),
    )


def evidence_for(of: str, note: About) -> Features:
    """What a label is chosen by: the category by what was said, the others also by how it was said."""
    return note.evidence if of == "category" else note.manner


def chances(of: str, note: About) -> dict[str, float]:
    """The probability of each label of a kind (category, scope, strength or followup), summing to 1."""
    learned = choice(of).probabilities(evidence_for(of, note))
    raised = _new_phrases(note) if of == "category" else _stress(note) if of == "strength" else {}
    odds = {name: chance * raised.get(name, 1.0) for name, chance in learned.items()}
    total = sum(odds.values())
    return {name: value / total for name, value in odds.items()}


def _new_phrases(note: About) -> dict[str | None, float]:
    """Raises the odds of a category that a phrase new since training judges by."""
    findings = [found for remark in note.remarks for found in remark.findings if found.function in STRENGTHS]
    return {found.category: _NEW for found in findings if found.rule not in trained_phrases()}


def _stress(note: About) -> dict[str, float]:
    """Raises the odds of the rare strengths, and more where a cue says so."""
    return {name: _CUED if note.has(name) else _RARE for name in ("must", "could")}


def _likeliest(of: str, note: About) -> str:
    found = chances(of, note)
    return max(sorted(found), key=lambda name: found[name])


def _place(note: About) -> Place | None:
    """Start, middle or end where only words tell; none where a frame does, nor in a plan ("leave it for the end")."""
    if note.kind == "plan" or any(remark.frames for remark in note.remarks):
        return None
    places: tuple[Place, ...] = ("start", "end", "middle")
    return next((place for place in places if note.has(f"place_{place}")), None)


def _subject(note: About) -> str | None:
    """The character or prop meant: the one that most of the note's words speak of, the first of equals.

    A name counts more than a pronoun, and little after a preposition: "the foot on the stool" is not about
    the stool. A note that names a body part but nobody is about whoever was spoken of before.
    """
    counts: dict[str, float] = {}
    for remark in note.remarks:
        for found in remark.subjects:
            before = remark.words[max(0, found.start - remark.first - LOOK_BACK) : found.start - remark.first]
            by_the_way = found.by_name and any(word.lower() in PREPOSITIONS for word in before)
            weight = _BY_THE_WAY if by_the_way else _BY_NAME if found.by_name else _BY_PRONOUN
            counts[found.name] = counts.get(found.name, 0.0) + weight
    if note.parts and note.spoken_of:
        counts.setdefault(note.spoken_of, 0.0)
        counts[note.spoken_of] += _BY_PRONOUN
    return max(counts, key=lambda name: counts[name], default=None) if note.kind != "plan" else None
