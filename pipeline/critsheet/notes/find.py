"""From a transcript to notes in order of rank: the one place that knows the steps of this stage."""

from collections.abc import Sequence

from critsheet.language import read
from critsheet.language.remarks import Remark
from critsheet.language.said_frames import frames_of_note
from critsheet.language.subjects import characters
from critsheet.notes.about import About
from critsheet.notes.doubts import doubts
from critsheet.notes.drafts import Draft, drafts
from critsheet.notes.joins import joined
from critsheet.notes.labels import Labels, labels
from critsheet.notes.priority import Ranked, ranked
from critsheet.notes.wording import action
from critsheet.sheet import FrameRange, Moment, Note, Shot, Transcript
from critsheet.vocabulary import Vocabulary

APPROXIMATE = 0.7
"""Confidence of a frame said as "about forty"."""


def find_notes(
    transcript: Transcript, vocabulary: Vocabulary, shot: Shot, names: tuple[str, ...] = ()
) -> tuple[tuple[Note, ...], tuple[str, ...]]:
    """The notes of a critique in order of rank, and the ids of those to do first.

    Ids count the notes in the order they were first spoken of. Both are empty where nothing was asked for.
    """
    found, labelled = understood(transcript, vocabulary, shot, names)
    order, top = ranked(found, labelled, vocabulary.categories)
    notes = tuple(
        _note(found[item.place], labelled[item.place], item, rank, names) for rank, item in enumerate(order, start=1)
    )
    return notes, tuple(note_id(place) for place in top)


def understood(
    transcript: Transcript, vocabulary: Vocabulary, shot: Shot, names: tuple[str, ...]
) -> tuple[list[About], list[Labels]]:
    """The notes in the order they were first spoken of, not worded yet, each with its labels."""
    remarks = read(transcript, vocabulary, shot, names)
    found = [
        About(draft, spoken_of(draft, remarks, names)) for draft in joined([About(draft) for draft in drafts(remarks)])
    ]
    return found, [labels(note) for note in found]


def spoken_of(draft: Draft, remarks: Sequence[Remark], names: Sequence[str]) -> str | None:
    """The character named or meant last before a draft begins, or the only one there is."""
    persons = characters(names)
    before = [subject.name for remark in remarks[: draft.remarks[0].index] for subject in remark.subjects]
    heard = [name for name in before if name in persons]
    return heard[-1] if heard else persons[0] if len(persons) == 1 else None


def note_id(place: int) -> str:
    return f"n{place + 1}"


def _note(note: About, label: Labels, item: Ranked, rank: int, names: tuple[str, ...]) -> Note:
    frames = _frames(note)
    return Note(
        id=note_id(item.place),
        kind=note.kind,
        category=label.category,
        also=label.also,
        subject=label.subject,
        body=label.body,
        moments=tuple(_moment(stretch) for stretch in note.draft.stretches),
        frames=frames,
        place=label.place,
        scope=label.scope,
        strength=label.strength,
        followup=label.followup,
        action=action(note, label, frames, names),
        rank=rank,
        reasons=item.reasons,
        doubts=doubts(note, label),
    )


def _moment(stretch: tuple[Remark, ...]) -> Moment:
    return Moment(
        start=round(stretch[0].start_s, 3),
        end=round(stretch[-1].end_s, 3),
        quote=" ".join(remark.text for remark in stretch),
    )


def _frames(note: About) -> tuple[FrameRange, ...]:
    """The frames said in the note, each once, in order of number."""
    said = frames_of_note([found for remark in note.remarks for found in remark.frames])
    ranges: dict[tuple[int, int], float] = {}
    for found in said:
        sure = APPROXIMATE if found.approximate or found.doubt else 1.0
        key = (found.first, found.last)
        ranges[key] = max(sure, ranges.get(key, 0.0))
    return tuple(
        FrameRange(first=first, last=last, source="said", confidence=sure)
        for (first, last), sure in sorted(ranges.items())
    )
