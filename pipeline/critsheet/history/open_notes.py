"""What a sheet leaves open for the next submission."""

from dataclasses import dataclass

from critsheet.earlier import Earlier
from critsheet.history.topics import Topic, TopicReader
from critsheet.sheet import Note, Sheet


@dataclass(frozen=True)
class OpenNote:
    """A note that was open when a submission came in.

    `entry` tells of it as the next sheet will where nobody mentions it. `lately`: it was raised in the sheet before
    this one, so that raising it again makes a row. `plan`: it was for one pass, and counts only where it is taken up.
    """

    entry: Earlier
    topic: Topic
    lately: bool = True
    plan: bool = False


def left_open(sheet: Sheet, reader: TopicReader) -> list[OpenNote]:
    """The notes still to be done after a sheet, in order of rank, then those that it carried on unmentioned."""
    raised = {one.note: one for one in sheet.earlier if one.note and one.outcome == "repeated"}
    ordered = sorted(sheet.notes, key=lambda note: (note.rank, note.id))
    asked = [note for note in ordered if note.kind != "keep" and note.followup != "resolved"]
    found = [_asked(note, raised.get(note.id), sheet.review.submission, reader) for note in asked]
    carried = [
        one for one in sheet.earlier if one.outcome != "resolved" and (one.note is None or one.note not in raised)
    ]
    return [*found, *(_carried(one, sheet.review.submission, reader) for one in carried)]


def _asked(note: Note, earlier: Earlier | None, submission: int | None, reader: TopicReader) -> OpenNote:
    entry = Earlier(
        action=note.action,
        category=note.category,
        subject=note.subject,
        body=note.body,
        frames=note.frames,
        submission=submission,
        outcome="not mentioned",
        raised=earlier.raised if earlier else 1,
        done=note.done,
    )
    return OpenNote(entry, reader.of_note(note), plan=note.kind == "plan")


def _carried(one: Earlier, submission: int | None, reader: TopicReader) -> OpenNote:
    """An earlier note that no note of the sheet stands for; it was raised lately only where that was in passing."""
    lately = one.outcome == "repeated"
    kept = {"note": None, "outcome": "not mentioned", "doubt": None}
    entry = one.model_copy(update={**kept, "submission": submission if lately else one.submission})
    return OpenNote(entry, reader.of_earlier(one), lately)
