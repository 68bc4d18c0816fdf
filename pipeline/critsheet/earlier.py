"""What became of the notes that were open when this submission came in."""

from typing import Annotated, Literal

from pydantic import Field

from critsheet.labels import BodyPart, Category, Done, FollowUp, FrameRange
from critsheet.screen import Strict

Outcome = Literal["resolved", "repeated", "not mentioned"]


class Earlier(Strict):
    """A note of an earlier submission, as its sheet worded it, and what the mentor says of it now.

    `note` is the id of the note of this sheet that takes it up, None where it is not mentioned or only said in
    passing. `submission` is the one it was last raised in, where known. `raised` counts submissions in a row, this one
    included where `outcome` is "repeated". `done` is the student's tick on the earlier sheet. `doubt` says what makes
    the outcome unsure.
    """

    note: str | None = None
    action: str
    category: Category
    subject: str | None = None
    body: tuple[BodyPart, ...] = ()
    frames: tuple[FrameRange, ...] = ()
    submission: Annotated[int, Field(ge=1)] | None = None
    outcome: Outcome
    raised: Annotated[int, Field(ge=1)] = 1
    done: Done | None = None
    doubt: str | None = None


def set_straight(earlier: tuple[Earlier, ...], note_id: str, followup: FollowUp | None) -> tuple[Earlier, ...]:
    """The earlier notes after a mentor said what a note of this sheet is: one asked for before, mended, or neither."""
    return tuple(_set_straight(one, followup) if one.note == note_id else one for one in earlier)


def _set_straight(one: Earlier, followup: FollowUp | None) -> Earlier:
    before = one.raised - 1 if one.outcome == "repeated" else one.raised
    return one.model_copy(
        update={
            "note": one.note if followup else None,
            "outcome": followup or "not mentioned",
            "raised": max(1, before + (followup == "repeated")),
            "doubt": None,
        }
    )
