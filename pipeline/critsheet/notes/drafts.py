"""Which remarks make a note: stretches of speech that hang together, each of one kind.

A learned chain over the remarks says for each whether a note of some kind starts in it, goes on, or
neither; what is greeting, story, description, talk of others or taken back falls out as "none".
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from critsheet.language.learned import chain
from critsheet.language.remarks import Remark
from critsheet.notes.evidence import clause_evidence
from critsheet.sheet import Kind

NONE = "none"
STARTS, GOES_ON = "starts", "goes on"
_ASIDE = 2
"""An aside takes a clause or two; what is longer says something, even in words that no rule knows."""

_NEVER_LEADS = frozenset({"retraction", "chatter"})
_SOON = 2
"""A note that names a frame in its first two remarks needs none from before."""


@dataclass(frozen=True)
class Draft:
    """A note in the making: its kind, its stretches of remarks, and how sure the chain is of them (0..1)."""

    kind: Kind
    stretches: tuple[tuple[Remark, ...], ...]
    confidence: float

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """All remarks of the note in order of time."""
        return tuple(remark for stretch in self.stretches for remark in stretch)


def drafts(remarks: Sequence[Remark]) -> list[Draft]:
    """The stretches that are notes, in order of time, none joined yet."""
    if not remarks:
        return []
    model, evidence = chain("notes"), clause_evidence(remarks)
    labels, chances = model.decode(evidence), model.marginals(evidence)
    none = model.labels.index(NONE)
    found: list[Draft] = []
    runs = _with_frames_before(stretches(labels), remarks)
    for kind, places in _with_asides(runs, remarks):
        sure = sum(1.0 - float(chances[place][none]) for place in places) / len(places)
        found.append(Draft(kind, (tuple(remarks[place] for place in places),), round(min(1.0, sure), 3)))
    return found


def _with_frames_before(
    runs: Sequence[tuple[Kind, list[int]]], remarks: Sequence[Remark]
) -> list[tuple[Kind, list[int]]]:
    """The runs, with the remark before one that names the frame it is about: "Go to 131. There's a bump"."""
    taken = {place for _, places in runs for place in places}
    joined: list[tuple[Kind, list[int]]] = []
    for kind, places in runs:
        before = places[0] - 1
        free = before >= 0 and before not in taken and remarks[before].function not in _NEVER_LEADS
        bare = not any(remarks[place].frames for place in places[:_SOON])
        joined.append((kind, [before, *places] if free and bare and remarks[before].frames else places))
    return joined


def _with_asides(runs: Sequence[tuple[Kind, list[int]]], remarks: Sequence[Remark]) -> list[tuple[Kind, list[int]]]:
    """The runs, with those that name nothing ("this is a nitpick") made part of the one that follows at once."""
    joined: list[tuple[Kind, list[int]]] = []
    waiting: list[int] = []
    for place, (kind, places) in enumerate(runs):
        following = runs[place + 1] if place + 1 < len(runs) else None
        leads_on = following is not None and following[1][0] == places[-1] + 1
        if leads_on and len(places) <= _ASIDE and not any(_names_something(remarks[index]) for index in places):
            waiting += places
        else:
            joined.append((kind, [*waiting, *places]))
            waiting = []
    return joined


def _names_something(remark: Remark) -> bool:
    return (
        bool(remark.body or remark.frames)
        or any(found.category or found.function in {"praise", "fault", "plan"} for found in remark.findings)
        or any(subject.by_name for subject in remark.subjects)
    )


def stretches(labels: Sequence[str]) -> list[tuple[Kind, list[int]]]:
    """The runs of places that labels mark as one note each; a note also starts where its kind changes."""
    runs: list[tuple[Kind, list[int]]] = []
    open_kind: str | None = None
    for place, label in enumerate(labels):
        if label == NONE:
            open_kind = None
            continue
        part, _, kind = label.rpartition(" ")
        if part == STARTS or kind != open_kind:
            runs.append((cast(Kind, kind), [place]))
        else:
            runs[-1][1].append(place)
        open_kind = kind
    return runs
