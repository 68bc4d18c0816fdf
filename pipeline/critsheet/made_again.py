"""A sheet made again from the same recording: what people did with the old one stays, what is new comes to it.

A note that is found again is known by when it was said: what was said does not move, whatever the program makes of it.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from critsheet.corrections import every_note, next_id
from critsheet.merging import one_of
from critsheet.sheet import Note, Sheet

SAME = 0.5
"""Of the shorter of two notes, in time: sharing this much of what was said, they are one."""
_INSTANT_S = 0.01
"""What a moment counts for at least, so that one without length can be found again."""


@dataclass(frozen=True)
class Kept:
    """The notes of the sheet made again. `taken` are the ids of the found notes that each of them took in."""

    notes: tuple[Note, ...]
    top: tuple[str, ...]
    left_out: tuple[Note, ...]
    taken: Mapping[str, tuple[str, ...]]


def is_worked_on(sheet: Sheet) -> bool:
    """Whether a mentor corrected the sheet, or a student ticked a note of it."""
    return sheet.corrected is not None or any(note.done or note.edited or note.by_hand for note in every_note(sheet))


def keep(old: Sheet, found: Sequence[Note]) -> Kept:
    """The notes of `old` in their order, made new where nobody set anything, then those found for the first time.

    All that a mentor set stays (`Note.by_hand`), so do ticks, ids, and what was left out.
    """
    known = {note.id: [one for one in found if _is_same(note, one)] for note in every_note(old)}
    holders = Counter(one.id for note in old.notes for one in known[note.id])
    notes, taken = [], {}
    for note in sorted(old.notes, key=lambda note: (note.rank, note.id)):
        exclusive = all(holders[one.id] == 1 for one in known[note.id])
        notes.append(_renewed(note, known[note.id]) if exclusive else note)
        taken[note.id] = tuple(one.id for one in known[note.id])
    numbering = old
    seen = {one.id for one in chain.from_iterable(known.values())}
    for one in found:
        if one.id not in seen:
            new = one.model_copy(update={"id": next_id(numbering)})
            numbering = numbering.model_copy(update={"notes": (*numbering.notes, new)})
            notes.append(new)
            taken[new.id] = (one.id,)
    ranked = tuple(note.model_copy(update={"rank": rank}) for rank, note in enumerate(notes, start=1))
    left_out = tuple(note.model_copy(update={"stills": ()}) for note in old.left_out)
    leading = {note.id for note in ranked if note.kind != "keep"}
    return Kept(ranked, tuple(note_id for note_id in old.top if note_id in leading), left_out, taken)


def _renewed(old: Note, found: Sequence[Note]) -> Note:
    """A note as found now, with all that people set in it; as it was where it was not found, or not as one note."""
    if not found or (len(found) > 1 and "moments" not in old.by_hand):
        return old
    new = one_of(found)
    kept = ("id", "rank", "done", "edited", "by_hand", *old.by_hand)
    if "moments" in old.by_hand:
        # Made of several, or a part of one: only what is seen on the screen can be told anew.
        kept = tuple(name for name in Note.model_fields if name not in {"frames", "looped", "stills", *old.by_hand})
        kept += old.by_hand
    elif {"kind", "strength"} & set(old.by_hand):
        kept += ("kind", "strength", "reasons")
    if "frames" in kept:
        kept += ("looped",)
    renewed = new.model_copy(update={name: getattr(old, name) for name in kept})
    return renewed.model_copy(update={"also": tuple(one for one in renewed.also if one != renewed.category)})


def _is_same(one: Note, other: Note) -> bool:
    shared = sum(
        max(0.0, min(a.end, b.end) - max(a.start, b.start))
        + (_INSTANT_S if a.start <= b.end and b.start <= a.end else 0)
        for a in one.moments
        for b in other.moments
    )
    return shared > 0 and shared >= SAME * min(_length_s(one), _length_s(other))


def _length_s(note: Note) -> float:
    return sum(moment.end - moment.start + _INSTANT_S for moment in note.moments)
