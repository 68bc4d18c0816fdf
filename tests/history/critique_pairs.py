"""Invented notes of two critiques in a row, with what became of each earlier note (pairs/*.yaml).

`BUILT_ON` were read while the rules were written; the others were written after the rules, to measure them.
"""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from critsheet import vocabulary
from critsheet.sheet import FrameRange, Moment, Note, Recording, Review, Segment, Sheet, Shot, Transcript, Word

PAIRS = Path(__file__).parent / "pairs"
BUILT_ON = ("crate", "heron", "waltz", "kettle", "robot", "gull")
NOT_MENTIONED = "not mentioned"

pack = cache(lambda: vocabulary.load(()))


@dataclass(frozen=True)
class Pair:
    """`gold[id]` is the outcome of an earlier note, and the id of the note that takes it up or None."""

    name: str
    before: Sheet
    now: Sheet
    gold: dict[str, tuple[str, str | None]]


def names() -> list[str]:
    """All pairs, in a fixed order."""
    return sorted(path.stem for path in PAIRS.glob("*.yaml"))


def pair(name: str) -> Pair:
    """Both sheets of a pair, the second one without `earlier`."""
    told: dict[str, Any] = yaml.safe_load((PAIRS / f"{name}.yaml").read_text(encoding="utf-8"))
    before = sheet([{key: note} for key, note in told["before"].items()], told["names"], told["shot"], 1)
    now = sheet(told["now"], told["names"], told["shot"], 2)
    gold = {key: _outcome(text) for key, text in told["outcomes"].items()}
    return Pair(name, before, now, gold)


def _outcome(text: str) -> tuple[str, str | None]:
    if text == NOT_MENTIONED:
        return text, None
    outcome, _, note = text.partition(" ")
    return outcome, note or None


def sheet(
    said: list[Any], names: list[str], shot: dict[str, Any] | None = None, submission: int | None = 1, **more: Any
) -> Sheet:
    """A sheet of what was said in order: plain text, or a note as {id: {labels and `said`}}."""
    segments, notes = [], []
    at = 0.0
    for rank, each in enumerate(said, 1):
        note_id, labels = next(iter(each.items())) if isinstance(each, dict) else (None, {"said": each})
        segment = _segment(labels["said"], at)
        at = segment.end + 1.0
        segments.append(segment)
        if note_id:
            notes.append(_note(note_id, labels, segment, rank))
    review = Review(
        title=f"Submission {submission}",
        submission=submission,
        recording=Recording(file="talk.wav", sha256=f"{submission}" * 64, duration=at),
    )
    return Sheet(
        id=f"s{submission}",
        made=f"2026-01-0{submission or 1}T10:00:00Z",
        review=more.pop("review", review),
        shot=Shot(**(shot or {"fps": "24", "first": 101, "last": 188})),
        settings={"options": {"names": names}},
        transcript=Transcript(language="en", segments=tuple(segments)),
        notes=tuple(notes),
        **more,
    )


def _segment(text: str, start: float) -> Segment:
    words = tuple(
        Word(start=round(start + 0.3 * place, 2), end=round(start + 0.3 * place + 0.3, 2), text=word)
        for place, word in enumerate(text.split())
    )
    return Segment(start=words[0].start, end=words[-1].end, text=text, words=words)


def _note(note_id: str, labels: dict[str, Any], segment: Segment, rank: int) -> Note:
    labels = {"kind": "fix", "action": segment.text, **labels}
    frames = [FrameRange(first=first, last=last) for first, last in labels.pop("frames", [])]
    moment = Moment(start=segment.start, end=segment.end, quote=labels.pop("said"))
    return Note(id=note_id, moments=(moment,), rank=rank, frames=tuple(frames), **labels)
