"""Invented reviews for an archive, put together from a few words."""

from typing import Any

from critsheet.earlier import Earlier
from critsheet.sheet import Done, Moment, Note, Recording, Review, Segment, Sheet, Transcript

MADE = "2026-03-02T10:00:00Z"


def note(action: str, quote: str = "", **labels: Any) -> Note:
    """A note that asks for `action`, said with `quote` at 65 seconds."""
    given = {"id": "n1", "kind": "fix", "category": "contact", "rank": 1, **labels}
    moments = given.pop("moments", (Moment(start=65.5, end=70, quote=quote or action),))
    return Note(action=action, moments=moments, **given)


def review(*notes: Note, **about: Any) -> Sheet:
    """A review with these notes, of a recording named after `recording`."""
    given = {"recording": "osk-1", "student": "Tamsin Okoro", "mentor": "Hal Orsini", "made": MADE, **about}
    numbered = tuple(one.model_copy(update={"id": f"n{rank}", "rank": rank}) for rank, one in enumerate(notes, 1))
    name = given["recording"]
    return Sheet(
        id=given.get("id", f"s-{name}"),
        made=given["made"],
        review=Review(
            title=given.get("title", "Osk lifts the crate"),
            student=given["student"],
            mentor=given["mentor"],
            submission=given.get("submission"),
            recording=Recording(file=f"{name}.m4a", sha256=f"hash-of-{name}", duration=600, links=(f"../{name}.m4a",)),
        ),
        settings={"options": {"previous": given.get("previous", []), "names": given.get("names", [])}},
        transcript=_transcript(numbered),
        notes=numbered,
        earlier=tuple(given.get("earlier", ())),
        corrected=given.get("corrected"),
    )


def _transcript(notes: tuple[Note, ...]) -> Transcript:
    segments = tuple(
        Segment(start=one.moments[0].start, end=one.moments[0].end, text=one.moments[0].quote, words=())
        for one in notes
    )
    return Transcript(language="en", segments=segments)


def ticked(one: Note, at: str, comment: str = "") -> Note:
    """The note with a student's tick."""
    return one.model_copy(update={"done": Done(at=at, comment=comment)})


def before(one: Note, outcome: str) -> Earlier:
    """What a later review says of a note."""
    return Earlier(action=one.action, category=one.category, outcome=outcome)  # type: ignore[arg-type]
