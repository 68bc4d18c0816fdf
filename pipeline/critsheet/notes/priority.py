"""The order of the notes, each with its reasons in words.

What the mentor stressed comes first, then what a learned weighing finds most pressing: how often and how
long it was spoken of, where in the order of work its category stands, whether it was asked for before.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from critsheet.language.learned import Features, choice
from critsheet.notes.about import About
from critsheet.notes.labels import Labels
from critsheet.vocabulary import CategoryEntry

FIRST, LATER = "first", "later"
TOP = 3
"""The notes set apart as the ones to do first: three can be held in mind, more is a list again."""

_KIND_ORDER = {"fix": 0, "plan": 1, "keep": 2}
_LONG_S = 20.0
"""A note spoken of for this long was dwelt on; most take a sentence or two."""


@dataclass(frozen=True)
class Ranked:
    """A note's place in the list: its score (higher first) and the reasons, in words."""

    place: int
    score: float
    reasons: tuple[str, ...]


def ranked(
    notes: Sequence[About], labels: Sequence[Labels], categories: Mapping[str, CategoryEntry]
) -> tuple[list[Ranked], list[int]]:
    """The notes as places in order of rank, and the places of the top notes, which lead it.

    After the top come the other fixes, then plans, then what to keep; optional notes last of their kind.
    """
    model = choice("top")
    scored = []
    for place, (note, label) in enumerate(zip(notes, labels, strict=True)):
        chance = model.probabilities(weight_evidence(note, label, categories, place / len(notes)))[FIRST]
        scored.append(Ranked(place, round(chance, 4), reasons(note, label, categories)))
    scored.sort(key=lambda item: (-item.score, item.place))
    candidates = [item for item in scored if _can_lead(notes[item.place], labels[item.place])]
    top = candidates[:TOP]
    rest = [item for item in scored if item not in top]
    rest.sort(key=lambda item: (_KIND_ORDER[notes[item.place].kind], labels[item.place].strength == "could"))
    return [*top, *rest], [item.place for item in top]


def _can_lead(note: About, label: Labels) -> bool:
    """A fix that nobody called optional; a plan says in which order to go about things and is shown by itself."""
    return note.kind == "fix" and label.strength != "could"


def weight_evidence(note: About, label: Labels, categories: Mapping[str, CategoryEntry], position: float) -> Features:
    """Named evidence on whether a note belongs to the first things to do; `position` is 0..1 in order spoken."""
    words = len(note.stems)
    order = categories[label.category].order if label.category in categories else 0
    row = {
        "always": 1.0,
        f"kind {note.kind}": 1.0,
        f"strength {label.strength}": 1.0,
        f"scope {label.scope}": 1.0,
        f"followup {label.followup}": 1.0,
        f"order of work {order}": 1.0,
        "length": min(3.0, words / 40),
        "times raised": min(3.0, len(note.draft.stretches) - 1.0),
        "early": float(position < 0.2),
        "late": float(position > 0.8),
    }
    for function in ("must", "could", "order", "reason", "problem", "hedge", "repeat_here"):
        if note.has(function):
            row[f"found {function}"] = 1.0
    return row


def reasons(note: About, label: Labels, categories: Mapping[str, CategoryEntry]) -> tuple[str, ...]:
    """Why a note stands where it stands, in words for the sheet."""
    told = []
    stress = next((f.text for r in note.remarks for f in r.findings if f.function == "must"), None)
    if label.strength == "must":
        told.append(f"the mentor stressed it: “{stress}”" if stress else "the mentor stressed it")
    if label.strength == "could":
        told.append("the mentor called it optional")
    if len(note.draft.stretches) > 1:
        told.append(f"raised {len(note.draft.stretches)} times")
    if label.followup == "repeated":
        told.append("asked for before and still open")
    if sum(stretch[-1].end_s - stretch[0].start_s for stretch in note.draft.stretches) >= _LONG_S:
        told.append("spoken of at length")
    if note.kind == "plan":
        told.append("how to go about the next pass")
    if label.scope != "moment" and note.kind == "fix":
        told.append("concerns the whole shot" if label.scope == "shot" else "a habit across shots")
    if note.kind == "fix" and label.category in categories:
        told.append(_order_in_words(categories[label.category].order))
    return tuple(told)


def _order_in_words(order: int) -> str:
    """Where the category stands in the usual order of work (common practice, no single source)."""
    steps = {
        1: "settle the idea before anything else",
        2: "poses come before motion",
        3: "timing is settled before the movement between poses",
        4: "limbs follow the weight of the body",
        5: "quality of movement comes once poses and timing hold",
        6: "details depend on a settled body",
        7: "finishing work comes last",
    }
    return f"order of work: {steps.get(order, 'no fixed place')}"
