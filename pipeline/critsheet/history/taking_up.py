"""From a sheet and those before it to a sheet that says what became of the earlier notes."""

import re
from collections.abc import Sequence

from critsheet.earlier import Earlier
from critsheet.history.matching import Match, matches
from critsheet.history.mentions import all_done, in_notes, in_passing
from critsheet.history.open_notes import OpenNote, left_open
from critsheet.history.topics import TopicReader
from critsheet.language import read
from critsheet.sheet import Note, Sheet, Shot
from critsheet.vocabulary import Vocabulary

IN_A_ROW = 3
"""Submissions in a row after which a note says so: once again happens to everybody."""

ALL_AT_ONCE = "the mentor spoke of all earlier notes at once"
_OPEN, _AGAIN = "asked for before and still open", re.compile(r"raised \d+ times in a row")


def take_up(sheet: Sheet, previous: Sequence[Sheet], pack: Vocabulary) -> Sheet:
    """The sheet with `earlier` filled in from the sheets of earlier submissions, in their order.

    A note that takes up an earlier one gets its follow-up and the reason, or a doubt; what the mentor said or set of it
    stays. Unchanged where nothing was open.
    """
    if not previous:
        return sheet
    open_notes = left_open(in_turn(previous, pack)[-1], _reader(sheet, pack))
    return _taken_up(sheet, open_notes, pack) if open_notes else sheet


def in_turn(sheets: Sequence[Sheet], pack: Vocabulary) -> list[Sheet]:
    """The sheets, each with what became of the notes before it; those that tell it already stay as they are."""
    told = [*sheets[:1]]
    for sheet in sheets[1:]:
        open_notes = [] if sheet.earlier else left_open(told[-1], _reader(sheet, pack))
        told.append(_taken_up(sheet, open_notes, pack) if open_notes else sheet)
    return told


def names_of(sheet: Sheet) -> tuple[str, ...]:
    """The characters and props that the sheet was made with."""
    options = sheet.settings.get("options")
    names = options.get("names") if isinstance(options, dict) else None
    return tuple(str(name) for name in names) if isinstance(names, list | tuple) else ()


def _reader(sheet: Sheet, pack: Vocabulary) -> TopicReader:
    return TopicReader(pack, names_of(sheet))


def _taken_up(sheet: Sheet, open_notes: Sequence[OpenNote], pack: Vocabulary) -> Sheet:
    reader = _reader(sheet, pack)
    remarks = read(sheet.transcript, pack, sheet.shot or Shot(), reader.names)
    asking = [note for note in sheet.notes if note.followup or "followup" not in note.by_hand]
    topics = [one.topic for one in open_notes]
    found = {
        match.earlier: match
        for match in matches(topics, in_notes(asking, reader), in_passing(remarks, sheet.notes, reader))
    }
    swept = all_done(remarks)
    earlier: list[Earlier] = []
    shown: set[str] = set()
    for place, one in enumerate(open_notes):
        entry = _entry(one, found.get(place), swept, sheet.review.submission, shown)
        if entry.outcome != "not mentioned" or not one.plan:
            earlier.append(entry)
            shown |= {entry.note} if entry.note else set()
    by_note = {one.note: one for one in earlier if one.note}
    notes = tuple(_told(note, by_note[note.id]) if note.id in by_note else note for note in sheet.notes)
    return sheet.model_copy(update={"earlier": tuple(earlier), "notes": notes})


def _entry(one: OpenNote, match: Match | None, swept: bool, submission: int | None, shown: set[str]) -> Earlier:
    """What became of an open note. A note of this sheet stands for one earlier note at most, of those in `shown`."""
    if match is None:
        return one.entry.model_copy(update={"outcome": "resolved", "doubt": ALL_AT_ONCE} if swept else {})
    note = match.mention.note
    # A fault that ends in "and that's fixed now" is no note to point at: what it asks for is something else.
    stands = note is not None and note.id not in shown and (match.mention.whole or match.outcome == _as_kind(note))
    another = not submission or one.entry.submission != submission
    row = one.entry.raised if one.lately else 0
    return one.entry.model_copy(
        update={
            "outcome": match.outcome,
            "note": note.id if note is not None and stands else None,
            "raised": row + another if match.outcome == "repeated" else one.entry.raised,
            "doubt": match.doubt,
        }
    )


def _as_kind(note: Note) -> str:
    return "resolved" if note.kind == "keep" else "repeated"


def _told(note: Note, earlier: Earlier) -> Note:
    """A note that takes up an earlier one, with the reason, or with the doubt where that is not sure."""
    if earlier.doubt:
        told = f"may be what was asked before: “{earlier.action}”"
        return note.model_copy(update={"doubts": tuple(dict.fromkeys((*note.doubts, told)))})
    reasons = [reason for reason in note.reasons if not _AGAIN.fullmatch(reason)]
    if earlier.outcome == "repeated":
        reasons = [reason for reason in reasons if reason != _OPEN]
        reasons.insert(0, f"raised {earlier.raised} times in a row" if earlier.raised >= IN_A_ROW else _OPEN)
    followup = note.followup or earlier.outcome
    return note.model_copy(update={"followup": followup, "reasons": tuple(reasons)})
