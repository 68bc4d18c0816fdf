"""One note of several that are one thing: what it keeps of each."""

import re
from collections.abc import Iterable, Sequence
from itertools import chain
from typing import Any

from critsheet.sheet import Done, Moment, Note

_RAISED = re.compile(r"raised \d+ times")


def one_of(notes: Sequence[Note]) -> Note:
    """The first note with all that was said, seen and asked in any of them.

    It is done where all of them were; what a student wrote about a part of it becomes a doubt.
    """
    first = notes[0]
    if len(notes) == 1:
        return first
    moments = in_time(chain.from_iterable(note.moments for note in notes))
    categories = dict.fromkeys(chain.from_iterable((note.category, *note.also) for note in notes))
    told = [reason for reason in _union(notes, "reasons") if not _RAISED.fullmatch(reason)]
    done, doubts = _ticks(notes)
    return first.model_copy(
        update={
            "moments": moments,
            "frames": _union(notes, "frames"),
            "stills": _union(notes, "stills"),
            "body": _union(notes, "body"),
            "also": tuple(one for one in categories if one != first.category),
            "followup": next((note.followup for note in notes if note.followup), None),
            "looped": all(note.looped for note in notes),
            "reasons": (*told, f"raised {len(moments)} times") if len(moments) > 1 else tuple(told),
            "doubts": tuple(dict.fromkeys((*_union(notes, "doubts"), *doubts))),
            "done": done,
        }
    )


def in_time(moments: Iterable[Moment]) -> tuple[Moment, ...]:
    """The moments in the order of the recording, each once."""
    return tuple(sorted(dict.fromkeys(moments), key=lambda moment: (moment.start, moment.end)))


def _ticks(notes: Sequence[Note]) -> tuple[Done | None, list[str]]:
    """The tick of them all, and doubts that tell of ticks on some of them."""
    comments = list(dict.fromkeys(note.done.comment for note in notes if note.done and note.done.comment))
    ticks = [note.done for note in notes if note.done]
    if len(ticks) == len(notes):
        return Done(at=max(tick.at for tick in ticks), comment="; ".join(comments)), []
    return None, [f"ticked in part: “{comment}”" for comment in comments]


def _union(notes: Sequence[Note], name: str) -> tuple[Any, ...]:
    return tuple(dict.fromkeys(value for note in notes for value in getattr(note, name)))
