"""One issue, one note: joins a stretch to the earlier note that it comes back to.

A learned choice over each later stretch and each earlier note says whether they are the same issue:
shared words, parts and names, the same category, "again", "same thing here", "oh and that hand".
"""

from collections.abc import Sequence
from dataclasses import replace

from critsheet.language.learned import Features, choice
from critsheet.notes.about import About
from critsheet.notes.drafts import Draft

SAME, OTHER = "same", "other"
JOIN_ABOVE = 0.5
"""A wrong join hides a note, a missed one shows it twice: an even chance decides."""

_FEW_WORDS, _SOME_WORDS = 12, 30


def joined(notes: Sequence[About]) -> list[Draft]:
    """The drafts with every returning stretch joined to the note it returns to, in order of first mention."""
    kept: list[About] = []
    for note in notes:
        chances = [same_chance(earlier, note, len(kept) - place) for place, earlier in enumerate(kept)]
        best = max(range(len(kept)), key=lambda place: chances[place], default=None)
        if best is not None and chances[best] > JOIN_ABOVE:
            first = kept[best].draft
            kept[best] = replace(kept[best], draft=replace(first, stretches=first.stretches + note.draft.stretches))
        else:
            kept.append(note)
    return [note.draft for note in kept]


def same_chance(earlier: About, later: About, distance: int) -> float:
    """The probability that two stretches, `distance` notes apart, are one issue."""
    return choice("joins").probabilities(pair_evidence(earlier, later, distance))[SAME]


def pair_evidence(earlier: About, later: About, distance: int) -> Features:
    """Named evidence on whether a later stretch is the same issue as an earlier note."""
    row = {"always": 1.0, f"kinds {earlier.kind} {later.kind}": 1.0}
    row["near" if distance == 1 else "some way" if distance < 5 else "far"] = 1.0
    if later.remarks[0].index == earlier.remarks[-1].index + 1:
        row["follows at once"] = 1.0
    words = len(later.stems)
    row["few words" if words < _FEW_WORDS else "some words" if words < _SOME_WORDS else "many words"] = 1.0
    row |= _overlap("words", earlier.telling_stems, later.telling_stems)
    row |= _overlap("parts", frozenset(earlier.parts), frozenset(later.parts))
    row |= _overlap("names", frozenset(earlier.names), frozenset(later.names))
    row |= _overlap("trade", _categories(earlier), _categories(later))
    shared = earlier.telling_stems & later.telling_stems
    row["shared words"] = min(4.0, float(len(shared))) / 2
    row["shared runs"] = min(3.0, float(len(_runs(earlier) & _runs(later))))
    for function in ("repeat_here", "retraction", "must", "order", "praise", "fault", "remedy"):
        if later.has(function):
            row[f"later {function}"] = 1.0
            if shared:
                row[f"later {function}, shared"] = 1.0
    row |= {f"later starts {form}": 1.0 for form in later.stems[:3]}
    return row


def _overlap(label: str, one: frozenset[str], two: frozenset[str]) -> dict[str, float]:
    if not one or not two:
        return {f"{label} missing": 1.0}
    return {
        f"{label} overlap": len(one & two) / min(len(one), len(two)),
        f"{label} apart": float(not one & two),
    }


def _categories(note: About) -> frozenset[str]:
    return frozenset(found.category for remark in note.remarks for found in remark.findings if found.category)


def _runs(note: About) -> set[tuple[str, str]]:
    """Pairs of neighbouring words of which at least one tells what the note is about."""
    stems = note.stems
    return {
        (one, two)
        for one, two in zip(stems, stems[1:], strict=False)
        if one in note.telling_stems or two in note.telling_stems
    }
