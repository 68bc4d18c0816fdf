"""What a person should check in a note before trusting it, in plain words."""

from critsheet.language.remarks import FAULT, RETRACTION
from critsheet.notes.about import About
from critsheet.notes.evidence import COMMON_STEMS
from critsheet.notes.labels import UNSURE, Labels
from critsheet.vocabulary.stems import stem

UNSURE_NOTE = 0.6
"""Below this probability it may be no note at all."""

SHOWN_WORDS = 3
"""Doubtful words shown a note; more would bury the rest."""


def doubts(note: About, label: Labels) -> tuple[str, ...]:
    """Each doubt once, in the order of how much hangs on it; empty where nothing is doubtful."""
    found = []
    if note.draft.confidence < UNSURE_NOTE:
        found.append("this may be a passing remark rather than a note")
    if note.kind == "keep" and any(f.function == FAULT for r in note.remarks for f in r.findings):
        found.append("there may be a fault in this as well")
    if any(remark.function == RETRACTION for remark in note.remarks):
        found.append("something here was taken back; listen to what still holds")
    for remark in note.remarks:
        for said in remark.frames:
            if said.doubt:
                found.append(said.doubt)
            elif said.approximate:
                found.append(f"frame {said.first} was said as about there")
    if label.category_chance < UNSURE:
        second = f" or {label.also[0]}" if label.also else ""
        found.append(f"category uncertain: {label.category}{second}")
    unsure = [word for remark in note.remarks for word in remark.unsure if stem(word) not in COMMON_STEMS]
    if unsure:
        shown = ", ".join(f"“{word}”" for word in list(dict.fromkeys(unsure))[:SHOWN_WORDS])
        found.append(f"may have been misheard: {shown}")
    return tuple(dict.fromkeys(found))
