"""An invented school's archive of any size: students, mentors, classes, and notes put together from labelled critiques.

Every note has the words of some critique with a few of them exchanged for others of the language, so that the archive's
words are as common and as rare as in real talk.
"""

import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "eval"))

from critiques import Critique, critique, files
from wordfreq import top_n_list

from critsheet.sheet import Done, FrameRange, Moment, Note, Recording, Review, Sheet, Transcript

NOTES_A_SHEET = 20
STUDENTS_A_CLASS = 25
SHEETS_A_STUDENT = 40
MENTORS = 60
BEGIN = datetime(2018, 9, 3, 9, tzinfo=UTC)
DAYS = 8 * 365
_EXCHANGED = 0.08
"""The share of a note's words that are exchanged for others."""


@dataclass(frozen=True)
class School:
    """`n_sheets` reviews over eight years."""

    n_sheets: int
    pool: tuple[Note, ...]

    def sheets(self) -> Iterator[tuple[Sheet, str]]:
        """Each sheet with its class, in order of time; the same ones every time."""
        chance = random.Random(7)
        n_students = max(STUDENTS_A_CLASS, self.n_sheets // SHEETS_A_STUDENT)
        for place in range(self.n_sheets):
            when = BEGIN + timedelta(days=DAYS * place / self.n_sheets, seconds=place % 28_000)
            student = chance.randrange(n_students)
            yield self._sheet(place, when, student, chance), f"Class {student // STUDENTS_A_CLASS + 1}"

    def _sheet(self, place: int, when: datetime, student: int, chance: random.Random) -> Sheet:
        notes = tuple(self._note(rank, when, chance) for rank in range(1, NOTES_A_SHEET + 1))
        recording = Recording(file=f"review-{place}.m4a", sha256=f"{place:064x}", duration=600)
        review = Review(
            title=f"Shot {place % 400:03}",
            student=f"Student {student:05}",
            mentor=f"Mentor {chance.randrange(MENTORS):02}",
            submission=1 + place % 3,
            recording=recording,
        )
        return Sheet(
            id=f"s{place:012x}",
            made=when.strftime("%Y-%m-%dT%H:%M:%SZ"),
            review=review,
            transcript=Transcript(language="en", segments=()),
            notes=notes,
        )

    def _note(self, rank: int, when: datetime, chance: random.Random) -> Note:
        note = self.pool[chance.randrange(len(self.pool))]
        at = (when + timedelta(days=chance.randrange(1, 20))).strftime("%Y-%m-%dT%H:%M:%SZ")
        done = Done(at=at) if note.kind == "fix" and chance.random() < 0.7 else None
        return note.model_copy(update={"id": f"n{rank}", "rank": rank, "done": done})


def school(n_sheets: int, pool_size: int = 20_000) -> School:
    """A school with so many reviews, whose notes are drawn from a pool of different ones."""
    chance = random.Random(3)
    others = [word for word in top_n_list("en", 30_000) if word.isalpha() and len(word) > 3]
    known = [note for path in files() for note in _notes(critique(path))]
    pool = [_varied(known[place % len(known)], others, chance) for place in range(pool_size)]
    return School(n_sheets, tuple(pool))


def _notes(read: Critique) -> list[Note]:
    found = []
    for gold in read.gold["notes"]:
        moments = tuple(Moment(start=a, end=b, quote=_said(read, a, b)) for a, b in gold["moments"])
        found.append(
            Note(
                id=gold["id"],
                kind=gold["kind"],
                category=gold["category"],
                also=tuple(gold.get("also") or ()),
                body=tuple(gold.get("body") or ()),
                moments=moments,
                frames=(FrameRange(first=101, last=124),) if gold.get("frames") else (),
                action=gold["action"],
                rank=1,
            )
        )
    return found


def _said(read: Critique, start_s: float, end_s: float) -> str:
    words = [word.text for word in read.transcript.words if start_s - 0.01 <= word.start < end_s]
    return " ".join(words) or "this here"


def _varied(note: Note, others: list[str], chance: random.Random) -> Note:
    def exchanged(text: str) -> str:
        words = text.split()
        return " ".join(
            others[min(int(chance.paretovariate(0.6) * 20), len(others) - 1)] if chance.random() < _EXCHANGED else word
            for word in words
        )

    moments = tuple(one.model_copy(update={"quote": exchanged(one.quote)}) for one in note.moments)
    return note.model_copy(update={"moments": moments, "action": exchanged(note.action)})
