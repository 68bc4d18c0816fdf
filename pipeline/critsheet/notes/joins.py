"""One issue, one note: joins a stretch to the earlier note that it comes back to.

A learned choice over each later stretch and each earlier note says whether they are the same issue:
shared words, parts and names, the same category, "again", "same thing here", "oh and that hand".
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from critsheet.language.learned import Features, choice, word_rarity
from critsheet.notes.about import About
from critsheet.notes.drafts import Draft
from critsheet.vocabulary.stems import stem

SAME, OTHER = "same", "other"
JOIN_ABOVE = 0.35
JOIN_AGAIN_ABOVE = 0.1
"""Found by trial on critiques left out of training: four joins in five are right. A short stretch that says
"again" nearly always comes back to something, so that the likeliest note is taken sooner."""

_FEW_WORDS, _SOME_WORDS = 12, 30
_AGAIN = frozenset(stem(word) for word in "again same once".split())
_RETURNING = _AGAIN | frozenset(
    stem(word) for word in "more back still also even because thing one whole rest before main biggest if only".split()
)
"""Words with which people come back to a thing."""


def joined(notes: Sequence[About]) -> list[Draft]:
    """The drafts with every returning stretch joined to the note it returns to, in order of first mention."""
    kept: list[About] = []
    for note in notes:
        chances = [same_chance(earlier, note, len(kept) - place) for place, earlier in enumerate(kept)]
        best = max(range(len(kept)), key=lambda place: chances[place], default=None)
        if best is not None and chances[best] > (JOIN_AGAIN_ABOVE if _says_again(note) else JOIN_ABOVE):
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
    row |= _overlap("parts", frozenset(earlier.parts), frozenset(later.parts))
    row |= _overlap("names", frozenset(earlier.names), frozenset(later.names))
    row |= _overlap("trade", _categories(earlier), _categories(later))
    row |= _shared_words(earlier, later)
    return row | _return_evidence(earlier, later, row)


def _shared_words(earlier: About, later: About) -> dict[str, float]:
    """How much the two have in common, rare words counting more ("custard" than "foot")."""
    one, two = earlier.telling_stems, later.telling_stems
    shared = one & two
    size = math.sqrt(_rare(one, squared=True) * _rare(two, squared=True)) or 1.0
    return _overlap("words", one, two) | {
        "shared words": min(4.0, float(len(shared))) / 2,
        "shared runs": min(3.0, float(len(_runs(earlier) & _runs(later)))),
        "rare shared": min(6.0, _rare(shared)) / 3,
        "likeness": 3 * _rare(shared, squared=True) / size,
    }


def _return_evidence(earlier: About, later: About, row: Features) -> dict[str, float]:
    """Signs that the later stretch comes back to something: "again", "the main thing", stress on both."""
    shares_topic = row.get("parts overlap", 0.0) > 0 or row.get("trade overlap", 0.0) > 0
    told = {f"later says {form}": 1.0 for form in set(later.stems) & _RETURNING}
    told |= {f"later starts {form}": 1.0 for form in later.stems[:3]}
    for function in ("repeat_here", "retraction", "must", "order", "praise", "fault", "remedy"):
        if later.has(function):
            told[f"later {function}"] = 1.0
            if row["shared words"]:
                told[f"later {function}, shared"] = 1.0
    if _mentions_return(later):
        told |= {"again, alike": row["likeness"], "again, same topic": float(shares_topic)}
    if earlier.has("must"):
        told |= {
            "earlier must": 1.0,
            "both must": float(later.has("must")),
            "must, shared": float(row["shared words"] > 0),
        }
    return told


def _mentions_return(note: About) -> bool:
    return bool(set(note.stems) & _AGAIN) or note.has("repeat_here")


def _says_again(note: About) -> bool:
    return len(note.stems) < _SOME_WORDS and _mentions_return(note)


def _rare(stems: frozenset[str], squared: bool = False) -> float:
    """The summed rarity of stems (inverse document frequency over the corpus)."""
    rarity = word_rarity()
    unknown = max(rarity.values(), default=1.0)
    found = [rarity.get(form, unknown) for form in sorted(stems)]
    return sum(value * value for value in found) if squared else sum(found)


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
