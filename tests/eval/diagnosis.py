"""What the reading of a critique got wrong, note by note.

Notes are matched as score.py matches them, so that the counts agree with its table: gold notes without a partner
are the missed and the merged ones, predicted notes without one the invented and the split ones.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import score
from critiques import Critique
from scipy.optimize import linear_sum_assignment

LEAST_OVERLAP = 0.2
"""score.py matches no notes whose times overlap less than this."""

HELD = 0.5
"""A note lies in another one where that one covers this share of its time."""

MENTIONED = 0.1
"""A smaller share of a note's time inside another note says nothing."""

STYLES = ("as written", "raw captions")
LABELS = ("kind", "category", "frames", "body", "scope", "strength", "followup")
TOP = 3
CAUSES = {
    "missed": "Missed: a gold note with no predicted one",
    "merged": "Merged: a gold note inside a predicted note that holds another one too",
    "invented": "Invented: a predicted note with no gold one",
    "split": "Split: a predicted note that is one more piece of a gold note",
    "kind": "Wrong kind",
    "category": "Wrong category",
    "category, loosely right": "Category only loosely right",
    "frames": "Wrong frames",
    "body": "Wrong body",
    "scope": "Wrong scope",
    "strength": "Wrong strength",
    "followup": "Wrong followup",
    "top, not found": "Top: a gold top note that was not found",
    "top, ranked lower": "Top: a gold top note found, but not among the first three",
}

Note = Mapping[str, Any]
Notes = Mapping[str, Note]


@dataclass(frozen=True)
class Reading:
    """A critique with the notes predicted for it, in the form that score.py reads, and its scores."""

    critique: Critique
    sheet: dict[str, Any]
    scores: dict[str, float]

    @property
    def style(self) -> str:
        """How the speech was written down."""
        return STYLES[self.critique.raw]


@dataclass(frozen=True)
class Error:
    """One error: its cause, the tag of the note that shows it, and "gold → predicted" where a label is wrong."""

    cause: str
    tag: str
    detail: str = ""


@dataclass(frozen=True)
class Diagnosis:
    """The gold notes (tags G1, G2 ...) and the predicted ones (P1, P2 ...) of a reading, against each other."""

    gold: Notes
    found: Notes
    gold_top: tuple[str, ...]
    found_top: tuple[str, ...]

    @classmethod
    def of(cls, reading: Reading) -> "Diagnosis":
        """The diagnosis of a reading."""
        gold, sheet = reading.critique.gold, reading.sheet
        return cls(
            {tag("G", note["id"]): note for note in gold["notes"]},
            {tag("P", note["id"]): note for note in sheet["notes"]},
            tuple(tag("G", note) for note in gold["top"]),
            tuple(tag("P", note) for note in sheet["top"][:TOP]),
        )

    @cached_property
    def partner(self) -> dict[str, str]:
        """The partner's tag of each matched note, gold or predicted."""
        pairs = matched(self.gold, self.found)
        return pairs | {theirs: ours for ours, theirs in pairs.items()}

    @cached_property
    def held(self) -> dict[str, set[str]]:
        """By note of either side, the notes of the other side that lie in it, its partner among them."""
        return {
            name: {other for other, inner in others.items() if inside(inner, note) >= HELD}
            | ({self.partner[name]} if name in self.partner else set())
            for notes, others in ((self.gold, self.found), (self.found, self.gold))
            for name, note in notes.items()
        }

    @cached_property
    def _shared(self) -> dict[str, set[str]]:
        """By note, the notes of its own side that lie with it in one note of the other side, itself among them."""
        out: dict[str, set[str]] = {name: {name} for name in self.held}
        for group in self.held.values():
            for name in group:
                out[name] |= group
        return out

    def marks(self, name: str) -> list[str]:
        """What became of a note, the chief thing first."""
        together, apart = ("merged", "split") if name in self.gold else ("split", "merged")
        marks = [self._chief(name, together)]
        # A note that keeps its partner is marked where the others of its group lost theirs.
        if any(other not in self.partner for other in self._shared[name] - {name}):
            marks.append(together)
        if len(self.held[name]) > 1 and any(other not in self.partner for other in self.held[name]):
            marks.append(apart)
        return list(dict.fromkeys(marks))

    def _chief(self, name: str, together: str) -> str:
        if name in self.partner:
            return "found" if name in self.gold else "mislabelled" if self.differing(name) else "right"
        if len(self._shared[name]) > 1:
            return together
        return "missed" if name in self.gold else "invented"

    def differing(self, name: str) -> dict[str, str]:
        """By cause, "gold → predicted" for each wrong label of a predicted note that has a partner."""
        if name not in self.found or name not in self.partner:
            return {}
        return differences(self.gold[self.partner[name]], self.found[name])

    def hints(self, name: str) -> list[str]:
        """Where a note lies, in words."""
        gold = name in self.gold
        note, others = (self.gold[name], self.found) if gold else (self.found[name], self.gold)
        out: list[str] = []
        for other, theirs in others.items():
            share = inside(note, theirs)
            if self.partner.get(name) == other:
                out.insert(0, f"is {other} (overlap {score.iou(score.spans(note), score.spans(theirs)):.2f})")
            elif share >= MENTIONED:
                out.append(f"{share:.0%} of it in {other}")
        return out

    @cached_property
    def errors(self) -> tuple[Error, ...]:
        """All errors, note by note."""
        return tuple(self._errors())

    def _errors(self) -> Iterator[Error]:
        for name in (*self.gold, *self.found):
            if name not in self.partner:
                yield Error(self.marks(name)[0], name)
            for cause, detail in self.differing(name).items():
                yield Error(cause, name, detail)
        for name in self.gold_top:
            if name not in self.partner:
                yield Error("top, not found", name)
            elif self.partner[name] not in self.found_top:
                yield Error("top, ranked lower", name)


def tag(side: str, note: str) -> str:
    """A note's id with its side, G(old) or P(redicted): gold n3 is G3."""
    return side + note.removeprefix("n")


def matched(gold: Notes, found: Notes) -> dict[str, str]:
    """Predicted tags and the gold tags they match, exactly as score.py matches them."""
    if not gold or not found:
        return {}
    overlaps = np.array([[score.iou(score.spans(p), score.spans(g)) for g in gold.values()] for p in found.values()])
    overlaps[overlaps < LEAST_OVERLAP] = 0
    names, others = list(found), list(gold)
    places = zip(*linear_sum_assignment(-overlaps), strict=True)
    return {names[row]: others[column] for row, column in places if overlaps[row, column] > 0}


def inside(inner: Note, outer: Note) -> float:
    """The share of a note's time that another note covers."""
    ours = score.spans(inner)
    shared = sum(max(0.0, min(b, d) - max(a, c)) for a, b in ours for c, d in score.spans(outer))
    return float(shared / max(1e-9, score.covered(ours)))


def value(note: Note, label: str) -> str:
    """A label as text: the same text where score.py takes two for the same."""
    if label == "frames":
        return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in sorted(score.frames(note))) or "none"
    if label == "body":
        return ", ".join(sorted(set(note.get("body") or []))) or "none"
    return str(note.get(label) or "none")


def differences(gold: Note, found: Note) -> dict[str, str]:
    """By cause, "gold → predicted" for each label that differs."""
    pairs = {label: (value(gold, label), value(found, label)) for label in LABELS}
    out = {label: f"{theirs} → {ours}" for label, (theirs, ours) in pairs.items() if theirs != ours}
    if "category" in out and found["category"] in (gold.get("also") or []):
        out["category, loosely right"] = out.pop("category")
    return out
