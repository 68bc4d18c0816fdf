"""What decided the labels of a note: the words and findings that spoke most for each, by the weights of the models."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from critsheet.language.learned import choice
from critsheet.notes.about import About
from critsheet.notes.find import note_id, understood
from critsheet.notes.labels import NO_LABEL, Labels, chances, evidence_for
from critsheet.sheet import Shot, Transcript
from critsheet.vocabulary import Vocabulary
from critsheet.vocabulary.stems import stem

SHOWN = 4
"""Pieces of evidence told for a label: the first few decide it."""


@dataclass(frozen=True)
class Decision:
    """One label of a note, how likely it is (0..1), and what spoke for it, strongest first."""

    of: str
    label: str
    chance: float
    evidence: tuple[str, ...]


@dataclass(frozen=True)
class Why:
    """A note's id, the mentor's words, the vocabulary's phrases found in them, and how its labels came about."""

    note: str
    quote: str
    phrases: tuple[str, ...]
    decisions: tuple[Decision, ...]


def why(transcript: Transcript, vocabulary: Vocabulary, shot: Shot, names: tuple[str, ...] = ()) -> list[Why]:
    """For every note of a critique what decided its labels, in the order they were first spoken of."""
    pairs = zip(*understood(transcript, vocabulary, shot, names), strict=True)
    return [
        Why(
            note_id(place),
            " ".join(remark.text for remark in note.remarks),
            _phrases(note),
            tuple(_decisions(note, label)),
        )
        for place, (note, label) in enumerate(pairs)
    ]


def _phrases(note: About) -> tuple[str, ...]:
    told = [
        f"“{found.text}” ({found.category}, {found.function})"
        for remark in note.remarks
        for found in remark.findings
        if found.category
    ]
    return tuple(dict.fromkeys(told))


def _decisions(note: About, label: Labels) -> Sequence[Decision]:
    chosen = {
        "category": label.category,
        "scope": label.scope,
        "followup": label.followup or NO_LABEL,
        "strength": label.strength,
    }
    spoken = _words_by_stem(note)
    return [_decision(of, name, note, spoken) for of, name in chosen.items() if name]


def _decision(of: str, name: str, note: About, spoken: Mapping[str, str]) -> Decision:
    told = choice(of).evidence(evidence_for(of, note), name, SHOWN)
    return Decision(of, name, round(chances(of, note)[name], 3), tuple(in_words(piece, spoken) for piece in told))


def _words_by_stem(note: About) -> Mapping[str, str]:
    spoken: dict[str, str] = {}
    for remark in note.remarks:
        for word in remark.words:
            spoken.setdefault(stem(word.replace("’", "'")), word.lower())
    return spoken


def in_words(feature: str, spoken: Mapping[str, str]) -> str:
    """A piece of evidence as a person would put it: the words said, or what the vocabulary found."""
    kind, _, rest = feature.partition(" ")
    if kind in {"word", "pair"}:
        return f"“{' '.join(spoken.get(form, form) for form in rest.split())}”"
    told = {
        "part": f"the {rest} named",
        "kind": f"being a {rest}",
        "trade": f"words about {rest}",
        "found": f"a sign of {rest}",
        "stress": f"put as a {rest}",
        "always": "what is usual",
    }
    return told.get(kind, f"a {kind} of {rest}")
