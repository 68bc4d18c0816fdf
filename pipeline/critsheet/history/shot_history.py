"""The history of one shot: which notes came, stayed and went over its submissions."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from critsheet.earlier import Earlier
from critsheet.labels import Done
from critsheet.sheet import Note, Sheet

What = Literal["new", "repeated", "not mentioned", "resolved"]


@dataclass(frozen=True)
class Step:
    """What became of a note in one submission: `note` is the one that says so there, `done` the tick on it."""

    what: What
    note: Note | None
    done: Done | None = None
    doubt: str | None = None


@dataclass(frozen=True)
class NoteHistory:
    """A note over the submissions: `steps` has one a sheet, None before it came and after it went.

    `action` is its latest wording; `open`: it is still to be done after the last sheet.
    """

    action: str
    steps: tuple[Step | None, ...]

    @property
    def open(self) -> bool:
        """Whether it is still to be done after the last sheet."""
        return self.steps[-1] is not None and self.steps[-1].what != "resolved"

    @property
    def raised(self) -> int:
        """In how many submissions it was asked for."""
        return sum(step is not None and step.what in ("new", "repeated") for step in self.steps)


@dataclass(frozen=True)
class ShotHistory:
    """The sheets in order of submission, and every note that was to be done: those that came first, first."""

    sheets: tuple[Sheet, ...]
    notes: tuple[NoteHistory, ...]


def shot_history(sheets: Sequence[Sheet]) -> ShotHistory:
    """The history told by sheets that each say what became of the notes before it (`taking_up.in_turn`)."""
    found: list[NoteHistory] = []
    for place, sheet in enumerate(sheets):
        notes = {note.id: note for note in sheet.notes}
        found = [_padded(one, place) for one in found]
        for earlier in sheet.earlier:
            known = next((at for at, one in enumerate(found) if _is_open(one, earlier, place)), None)
            one = found[known] if known is not None else NoteHistory(earlier.action, (None,) * place)
            stepped = _stepped(one, earlier, notes.get(earlier.note or ""))
            found = [*found[:known], stepped, *found[known + 1 :]] if known is not None else [*found, stepped]
        taken = {one.note for one in sheet.earlier if one.outcome == "repeated"}
        asked = [note for note in sheet.notes if note.kind != "keep" and note.followup != "resolved"]
        new = [note for note in sorted(asked, key=lambda note: note.rank) if note.id not in taken]
        found += [NoteHistory(note.action, (*(None,) * place, Step("new", note, note.done))) for note in new]
    return ShotHistory(tuple(sheets), tuple(_padded(one, len(sheets)) for one in found))


def _padded(one: NoteHistory, length: int) -> NoteHistory:
    return replace(one, steps=(*one.steps, *(None,) * (length - len(one.steps))))


def _is_open(one: NoteHistory, earlier: Earlier, place: int) -> bool:
    """Whether it is this note that a sheet carries on, which has no step in that sheet yet."""
    return len(one.steps) == place and place > 0 and one.open and one.action == earlier.action


def _stepped(one: NoteHistory, earlier: Earlier, note: Note | None) -> NoteHistory:
    action = note.action if note and earlier.outcome == "repeated" else one.action
    return NoteHistory(action, (*one.steps, Step(earlier.outcome, note, note.done if note else None, earlier.doubt)))
