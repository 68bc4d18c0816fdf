"""What a mentor may correct on a sheet: each function takes a sheet and gives the corrected one.

No interface is in here: the plain-text form (critsheet.form) is made of these, and so may others be. What a mentor
set is noted in `Note.by_hand`. Nothing said is ever dropped: what no note holds any more lies in `Sheet.left_out`.
Wrong input is an InputError whose `what` is a whole sentence.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, get_args

from critsheet.earlier import set_straight
from critsheet.errors import InputError
from critsheet.labels import CHOICES
from critsheet.merging import in_time, one_of
from critsheet.render.words import FIRST, GROUPS, KEEP, PLAN, THEN, TIME, about, grouped, plain, span
from critsheet.sheet import ByHand, Done, FrameRange, Kind, Moment, Note, Sheet, Shot, Strength

LEADING = 3
"""The first notes under "Do first", which the sheet sets apart."""
MAX_TEXT = 2000
"""Characters of an action or a doubt; longer ones are pasted by mistake."""
ROUGH = 0.6
"""Confidence of frames that the mentor set as "about 130"."""
PUT_HERE, _ORDER_OF_WORK = "the mentor put it here", "order of work:"
"""Reasons, as the sheet's texts know them."""
_STRENGTHS: Mapping[str, tuple[Kind, Strength | None]] = {
    FIRST: ("fix", "must"),
    THEN: ("fix", "should"),
    TIME: ("fix", "could"),
    KEEP: ("keep", None),
    PLAN: ("plan", "should"),
}
"""What a note becomes that is moved to a group from another one."""

Span = tuple[int, int, bool]
"""First and last frame, and whether they are meant roughly."""


def every_note(sheet: Sheet) -> tuple[Note, ...]:
    """All notes, those left out last."""
    return (*sheet.notes, *sheet.left_out)


def note_of(sheet: Sheet, note_id: str) -> Note:
    """The note of this id, left out or not."""
    for note in every_note(sheet):
        if note.id == note_id:
            return note
    raise InputError(f"There is no note {note_id}.")


def next_id(sheet: Sheet) -> str:
    """An id that no note has had: the number after the highest."""
    ids = (note_id for note in every_note(sheet) for note_id in (note.id, *note.took))
    numbers = (re.fullmatch(r"n(\d{1,9})", note_id) for note_id in ids)
    return f"n{max((int(number[1]) for number in numbers if number), default=0) + 1}"


def order(sheet: Sheet) -> dict[str, list[str]]:
    """The ids of the notes by group, as every form of the sheet shows them."""
    found: dict[str, list[str]] = {key: [] for key in GROUPS}
    for group in grouped(sheet):
        found[group.key] = [entry.note.id for entry in group.notes]
    return found


def reword(sheet: Sheet, note_id: str, action: str) -> Sheet:
    """The note with the mentor's own words as its action."""
    return _set(sheet, note_id, action=_text(action, "A note"), edited=True)


def relabel(sheet: Sheet, note_id: str, **labels: Any) -> Sheet:
    """The note with other labels: category, also, subject, body, place, scope, followup, doubts.

    A label of several values is a tuple; None takes a single one away.
    """
    for name, value in labels.items():
        for one in value if isinstance(value, tuple) else () if value is None else (value,):
            if one not in CHOICES.get(name, (one,)):
                raise InputError(f"“{plain(str(one))}” is none of {', '.join(CHOICES[name])}.")
    note = note_of(sheet, note_id)
    if labels.get("subject"):
        labels["subject"] = _text(labels["subject"], "A name")
    if "doubts" in labels:
        labels["doubts"] = tuple(_text(doubt, "A doubt") for doubt in labels["doubts"])
    if "also" in labels or "category" in labels:
        main = labels.get("category", note.category)
        labels["also"] = tuple(one for one in dict.fromkeys(labels.get("also", note.also)) if one != main)
    if labels.get("followup", note.followup) != note.followup:
        sheet = sheet.model_copy(update={"earlier": set_straight(sheet.earlier, note_id, labels["followup"])})
    return _set(sheet, note_id, **labels)


def set_frames(sheet: Sheet, note_id: str, spans: Sequence[Span]) -> Sheet:
    """The note with these frames; those it had already keep how they are known.

    A clean picture of frames that are no longer meant goes.
    """
    note = note_of(sheet, note_id)
    known = {(one.first, one.last, about(one)): one for one in note.frames}
    frames = tuple(known.get(each) or _range(sheet, each) for each in dict.fromkeys(spans))
    stills = tuple(
        still for still in note.stills if still.kind == "screen" or not frames or _touch(still.frames, frames)
    )
    return _set(sheet, note_id, frames=frames, stills=stills, looped=note.looped and not frames)


def _range(sheet: Sheet, wanted: Span) -> FrameRange:
    first, last, rough = wanted
    if first > last:
        raise InputError(f"Frames {first}-{last} run backwards.")
    shot = sheet.shot or Shot()
    if (shot.first is not None and first < shot.first) or (shot.last is not None and last > shot.last):
        ends = "–".join("..." if end is None else str(end) for end in (shot.first, shot.last))
        raise InputError(f"{span(first, last)} lies outside the shot, frames {ends}.")
    return FrameRange(first=first, last=last, source="by hand", confidence=ROUGH if rough else 1.0)


def _touch(shown: Iterable[int], frames: Sequence[FrameRange]) -> bool:
    return any(one.first <= frame <= one.last for frame in shown for one in frames)


def add(sheet: Sheet, action: str, kind: Kind, category: str) -> tuple[Sheet, str]:
    """The sheet with one more note, last of all, and that note's id."""
    if category not in CHOICES["category"]:
        raise InputError(f"“{plain(category)}” is none of {', '.join(CHOICES['category'])}.")
    note = Note.model_validate(
        {
            "id": next_id(sheet),
            "kind": kind,
            "category": category,
            "moments": (),
            "strength": None if kind == "keep" else "should",
            "action": _text(action, "A note"),
            "rank": _last_rank(sheet) + 1,
            "edited": True,
            "by_hand": ("action", "kind", "category"),
        }
    )
    return sheet.model_copy(update={"notes": (*sheet.notes, note)}), note.id


def split(sheet: Sheet, note_id: str, action: str) -> tuple[Sheet, str]:
    """The sheet with a second note made of one, last of all, and its id.

    Both rest on the same words until `hold` shares them out.
    """
    source = _marked(note_of(sheet, note_id), "moments")
    update = {"id": next_id(sheet), "rank": _last_rank(sheet) + 1, "action": _text(action, "A note"), "edited": True}
    second = _marked(source.model_copy(update={**update, "took": ()}), "action")
    put = _put(sheet, source)
    return put.model_copy(update={"notes": (*put.notes, second)}), second.id


def merge(sheet: Sheet, into: str, others: Sequence[str]) -> Sheet:
    """One note of several: `into` keeps its wording and its place, and takes what was said, frames and pictures.

    It is done where all of them were.
    """
    if len({into, *others}) != len(others) + 1:
        raise InputError(f"{into} can take each note only once.")
    notes = [note_of(sheet, note_id) for note_id in (into, *others)]
    took = (*notes[0].took, *(note_id for note in notes[1:] for note_id in (note.id, *note.took)))
    merged = one_of(notes).model_copy(update={"took": took})
    return _gone(_put(sheet, _marked(merged, "moments")), others, into)


def hold(sheet: Sheet, moments: Mapping[str, Sequence[Moment]]) -> Sheet:
    """The sheet with each of these notes resting on these moments of the recording, and no others.

    A moment that was in one of them and is in no note now is left out, as a note of its own.
    """
    old = [note_of(sheet, note_id) for note_id in moments]
    for note in old:
        held = in_time(moments[note.id])
        if held != note.moments:
            sheet = _put(sheet, _marked(note.model_copy(update={"moments": held}), "moments"))
    kept = {(moment.start, moment.end) for note in every_note(sheet) for moment in note.moments}
    for note in old:
        lost = tuple(moment for moment in note.moments if (moment.start, moment.end) not in kept)
        kept |= {(moment.start, moment.end) for moment in lost}
        if lost:
            update = {"moments": lost, "stills": (), "done": None, "edited": False, "by_hand": (), "took": ()}
            apart = note.model_copy(update={**update, "id": next_id(sheet)})
            sheet = sheet.model_copy(update={"left_out": (*sheet.left_out, apart)})
    return sheet


def leave_out(sheet: Sheet, note_id: str) -> Sheet:
    """The sheet without the note, which is kept aside and can be brought back."""
    note = note_of(sheet, note_id)
    if note in sheet.left_out:
        return sheet
    gone = _gone(sheet, (note_id,), None)
    return gone.model_copy(update={"left_out": (*sheet.left_out, note)})


def bring_back(sheet: Sheet, note_id: str) -> Sheet:
    """The sheet with a note that was left out, last of all."""
    note = note_of(sheet, note_id)
    if note in sheet.notes:
        return sheet
    left_out = tuple(other for other in sheet.left_out if other.id != note_id)
    back = note.model_copy(update={"rank": _last_rank(sheet) + 1})
    return sheet.model_copy(update={"notes": (*sheet.notes, back), "left_out": left_out})


def arrange(sheet: Sheet, groups: Mapping[str, Sequence[str]]) -> Sheet:
    """The sheet with its notes in these groups and this order; a note becomes what its group says.

    The first three under "Do first" lead the sheet. Every note must be named once.
    """
    wanted = [(key, note_id) for key in GROUPS for note_id in groups.get(key, ())]
    stood = [(key, note_id) for key, ids in order(sheet).items() for note_id in ids]
    if wanted == stood:
        return sheet
    if sorted(note_id for _, note_id in wanted) != sorted(note.id for note in sheet.notes):
        raise InputError("An order of the notes names each of them once.")
    top = tuple(groups.get(FIRST, ())[:LEADING])
    was = {note_id: key for key, note_id in stood}
    notes = []
    for rank, (key, note_id) in enumerate(wanted, start=1):
        kind, strength = _weight(note_of(sheet, note_id), key, moved=was[note_id] != key, leads=note_id in top)
        note = note_of(_set(sheet, note_id, kind=kind, strength=strength), note_id)
        reasons = _moved(note.reasons) if was[note_id] != key else note.reasons
        notes.append(note.model_copy(update={"rank": rank, "reasons": reasons}))
    return sheet.model_copy(update={"notes": tuple(notes), "top": top})


def _weight(note: Note, key: str, *, moved: bool, leads: bool) -> tuple[Kind, Strength | None]:
    """Kind and strength of a note in a group; as they are where it stood there before."""
    if key == FIRST and note.kind == "plan":
        if not leads:
            raise InputError(f"{note.id} is a plan: it can be one of the first {LEADING}, or stand under Plan.")
        return note.kind, "must" if moved else note.strength
    if not moved and (key != FIRST or leads):
        return note.kind, note.strength
    kind, strength = _STRENGTHS[key]
    return kind, note.strength or strength if key == PLAN else strength


def _moved(reasons: Sequence[str]) -> tuple[str, ...]:
    """Why a note stands where the mentor put it: the program's order of work is no reason any more."""
    return (PUT_HERE, *(told for told in reasons if told != PUT_HERE and not told.startswith(_ORDER_OF_WORK)))


def tick(sheet: Sheet, note_id: str, done: Done | None) -> Sheet:
    """The sheet with a note ticked as done, or with its tick taken away."""
    return _put(sheet, note_of(sheet, note_id).model_copy(update={"done": done}))


def _set(sheet: Sheet, note_id: str, **changes: Any) -> Sheet:
    """The note with these values; those that differ from what it had are marked as set by hand."""
    note = note_of(sheet, note_id)
    new = [name for name, value in changes.items() if value != getattr(note, name) and name in get_args(ByHand)]
    return _put(sheet, _marked(note.model_copy(update=changes), *new)) if new else sheet


def _marked(note: Note, *names: str) -> Note:
    marked = {*note.by_hand, *names}
    return note.model_copy(update={"by_hand": tuple(name for name in get_args(ByHand) if name in marked)})


def _put(sheet: Sheet, note: Note) -> Sheet:
    def replaced(notes: tuple[Note, ...]) -> tuple[Note, ...]:
        return tuple(note if other.id == note.id else other for other in notes)

    return sheet.model_copy(update={"notes": replaced(sheet.notes), "left_out": replaced(sheet.left_out)})


def _gone(sheet: Sheet, ids: Sequence[str], taken_by: str | None) -> Sheet:
    """Without these notes; what spoke of them speaks of the one that took them."""
    rest = sorted((note for note in sheet.notes if note.id not in ids), key=lambda note: (note.rank, note.id))
    shown = {note.id for note in rest}
    heir = taken_by if taken_by in shown else None
    return sheet.model_copy(
        update={
            "notes": tuple(note.model_copy(update={"rank": rank}) for rank, note in enumerate(rest, start=1)),
            "left_out": tuple(note for note in sheet.left_out if note.id not in ids),
            "top": tuple(one for one in sheet.top if one in shown),
            "earlier": tuple(
                one.model_copy(update={"note": heir}) if one.note in ids else one for one in sheet.earlier
            ),
        }
    )


def _last_rank(sheet: Sheet) -> int:
    return max((note.rank for note in sheet.notes), default=0)


def _text(text: str, what: str) -> str:
    line = plain(text)
    if not line:
        raise InputError(f"{what} needs words.")
    if len(line) > MAX_TEXT:
        raise InputError(f"{what} is {len(line)} characters long: use at most {MAX_TEXT}.")
    return line
