"""Where a talk comes back to an earlier submission: in its notes, and in passing ("the foot's fine now")."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from critsheet.history.topics import Topic, TopicReader
from critsheet.labels import FollowUp
from critsheet.language import Remark
from critsheet.language.remarks import DESCRIPTION
from critsheet.sheet import Note

_TELLING_STEMS = 2
"""A clause with fewer telling words and nothing named ("you fixed that") speaks of what the clause before it named."""
_LEADING_WORDS = 5
"""A clause this short only leads on to the next one: "57.", "And the dip!"; punctuation counts."""

_STILL = re.compile(
    r"(?<!hold )(?<!stand )(?<!sit )(?<!dead )\bstill\b|\bagain\b|"
    r"(\bnot|n't|\bnever)\b[^.?!,;]{0,20}\b(gone|fixed|done|there|changed|better)\b",
    re.IGNORECASE,
)
_MENDED = re.compile(
    r"\b(no more|at last|finally|gone|got (that|it)|(clean|clear|good|fine|right) now)\b", re.IGNORECASE
)
"""Plain words that are too common for the vocabulary's cues; here the matter has to be an earlier one as well."""

_ALL = re.compile(r"\b(all|every(thing| single| one)?)\b", re.IGNORECASE)
_ASKED = re.compile(
    r"\b(notes?|comments?|points?|corrections?|list|asked|said|told|mentioned|wanted|talked about|"
    r"last (time|week|round|review|submission))\b",
    re.IGNORECASE,
)
_DONE = re.compile(
    r"\b(did|done|fixed|addressed|sorted|took|taken|dealt|worked|gone through|hit|ticked|covered|listened|"
    r"(is|are|went|all) in)\b",
    re.IGNORECASE,
)
_NOT_QUITE = re.compile(r"\b(almost|nearly|most|not|never|but|except|apart|half|if|when)\b|n't\b", re.IGNORECASE)


@dataclass(frozen=True)
class Mention:
    """A place where an earlier note may be taken up.

    `note` is the note of this sheet that it is, or stands in; None for a clause outside all notes. `says` is what the
    mentor says of an earlier note, in so many words where `plainly`, else by praise or fault alone.
    """

    topic: Topic
    says: FollowUp
    plainly: bool
    note: Note | None
    whole: bool


def in_notes(notes: Sequence[Note], reader: TopicReader) -> list[Mention]:
    """The notes themselves, in their order."""
    return [
        Mention(
            topic=reader.of_note(note),
            says=note.followup or ("resolved" if note.kind == "keep" else "repeated"),
            plainly=note.followup is not None,
            note=note,
            whole=True,
        )
        for note in notes
    ]


def in_passing(remarks: Sequence[Remark], notes: Sequence[Note], reader: TopicReader) -> list[Mention]:
    """The clauses that say of something that it is mended, or still as it was, in order of time."""
    found = []
    for place, remark in enumerate(remarks):
        says = _says(remark)
        if says is None:
            continue
        topic = reader.of_remarks([remark])
        if place and (not _names_something(topic) or _leads_on(remarks[place - 1])):
            topic = reader.of_remarks(remarks[place - 1 : place + 1])
        if _names_something(topic):
            found.append(Mention(topic, says, True, _note_of(remark, notes), whole=False))
    return found


def all_done(remarks: Sequence[Remark]) -> bool:
    """Whether the mentor says that everything asked for before is done: "you've done all my notes from last week"."""
    return any(
        all(pattern.search(remark.text) for pattern in (_ALL, _ASKED, _DONE)) and not _NOT_QUITE.search(remark.text)
        for remark in remarks
    )


def _says(remark: Remark) -> FollowUp | None:
    """What a clause says of an earlier submission; "better, but still" is not done yet."""
    if remark.has("repeated") or _STILL.search(remark.text):
        return "repeated"
    return "resolved" if remark.has("resolved") or _MENDED.search(remark.text) else None


def _leads_on(remark: Remark) -> bool:
    return len(remark.words) <= _LEADING_WORDS and remark.function == DESCRIPTION


def _names_something(topic: Topic) -> bool:
    return bool(topic.parts or topic.frames or topic.labels) or len(topic.stems) >= _TELLING_STEMS


def _note_of(remark: Remark, notes: Sequence[Note]) -> Note | None:
    middle = (remark.start_s + remark.end_s) / 2
    return next((note for note in notes for one in note.moments if one.start <= middle <= one.end), None)
