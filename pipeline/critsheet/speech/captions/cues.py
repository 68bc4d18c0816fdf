"""Captions as read from any format, and how they become a Transcript."""

import html
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from critsheet.sheet import Segment, Transcript, Word
from critsheet.speech.captions.rolling import without_rolled
from critsheet.speech.cleaning import clean

MAX_CUES = 50_000
"""Four hours of talk with a caption for every word come to 40,000."""

MAX_WORDS = 60_000
"""Four hours of fast talk, 250 words a minute."""

MAX_SECONDS = 24 * 3600.0

_WORD_S = 0.4
"""Seconds a word, a pause included, at an easy 150 words a minute; for a caption whose end is not given."""

_LONGEST_WORD_S = 1.0
"""A word that is timed by its start alone is over by then, and what follows is a pause."""

_TAG = re.compile(r"</?[a-zA-Z][^<>]{0,200}>|</?>|\{\\[^{}]{0,100}\}")
_SOUND = re.compile(r"\[[^\[\]]{1,60}\]|[♪♫]+|(?:^|(?<=\s))>>+")
"""What captions say about sound: [Music], [inaudible], notes, the mark for a new speaker."""


class CueError(Exception):
    """What is wrong with a caption file, on which line (None for the whole file), and the way out."""

    def __init__(self, what: str, hint: str, line: int | None = None) -> None:
        super().__init__(what)
        self.what = what
        self.hint = hint
        self.line = line


@dataclass(frozen=True)
class Piece:
    """One word of a caption with what is known of its time."""

    text: str
    start: float | None = None
    end: float | None = None
    probability: float = 1.0


@dataclass(frozen=True)
class Cue:
    """One caption: seconds (`end` None where the file leaves it open), its words, its line in the file."""

    start: float
    end: float | None
    pieces: tuple[Piece, ...]
    line: int | None = None


@dataclass(frozen=True)
class Captions:
    """All captions of a file in its own order, and its language where it names one."""

    cues: Sequence[Cue]
    language: str = "en"


def pieces_of(text: str, start: float | None = None) -> list[Piece]:
    """The words of a text without markup and remarks on sound; the first one is said at `start`."""
    bare = clean(_SOUND.sub(" ", html.unescape(_TAG.sub("", text))))
    return [Piece(word, start if number == 0 else None) for number, word in enumerate(bare.split())]


def check_order(start: float, end: float, line: int | None) -> None:
    """Raises CueError where a caption ends before it starts."""
    if end < start:
        raise CueError(
            f"this caption ends ({_clock(end)}) before it starts ({_clock(start)}).",
            "Put its two times right, or export the captions again.",
            line,
        )


def to_transcript(captions: Captions) -> Transcript:
    """Captions as a Transcript in order of time, every word with a start and an end.

    Raises CueError for too many captions or words, or a time past a day.
    """
    _check_size(captions.cues)
    ordered = sorted(captions.cues, key=lambda cue: cue.start)
    told = without_rolled([[piece.text for piece in cue.pieces] for cue in ordered])
    segments = []
    for number, (cue, dropped) in enumerate(zip(ordered, told, strict=True)):
        pieces = cue.pieces[dropped:]
        if pieces:
            following = ordered[number + 1].start if number + 1 < len(ordered) else None
            segments.append(_segment(replace(cue, pieces=pieces), following))
    in_order = sorted(segments, key=lambda segment: segment.start)  # words may carry earlier times than their cue
    return Transcript(language=captions.language, segments=tuple(in_order))


def _check_size(cues: Sequence[Cue]) -> None:
    hint = "Give the captions of one review, at most four hours long."
    if len(cues) > MAX_CUES:
        raise CueError(f"there are {len(cues)} captions; a review holds at most {MAX_CUES}.", hint)
    if sum(len(cue.pieces) for cue in cues) > MAX_WORDS:
        raise CueError(f"there are more than {MAX_WORDS} words.", hint)
    for cue in cues:
        if not all(0 <= time <= MAX_SECONDS for time in _times(cue)):
            raise CueError("this time lies before the start or past 24 hours.", "Put it right in the file.", cue.line)


def _times(cue: Cue) -> Iterable[float]:
    yield cue.start
    if cue.end is not None:
        yield cue.end
    for piece in cue.pieces:
        yield from (time for time in (piece.start, piece.end) if time is not None)


def _segment(cue: Cue, following: float | None) -> Segment:
    end = cue.end
    if end is None:
        end = cue.start + _WORD_S * len(cue.pieces)
        if following is not None and following > cue.start:
            end = min(end, following)
    words = _timed(cue.pieces, cue.start, max(end, cue.start))
    return Segment(
        start=words[0].start,
        end=max(word.end for word in words),
        text=" ".join(word.text for word in words),
        words=tuple(words),
    )


def _timed(pieces: Sequence[Piece], start: float, end: float) -> list[Word]:
    """Words with times: as given where they are, else spread evenly up to the next time that is known."""
    starts = _starts(pieces, start, end)
    words = []
    for number, piece in enumerate(pieces):
        until = starts[number + 1] if number + 1 < len(pieces) else max(end, starts[number])
        if piece.end is not None:
            until = max(piece.end, starts[number])
        elif piece.start is not None:
            until = min(until, starts[number] + _LONGEST_WORD_S)
        words.append(
            Word(start=round(starts[number], 3), end=round(until, 3), text=piece.text, probability=piece.probability)
        )
    return words


def _starts(pieces: Sequence[Piece], start: float, end: float) -> list[float]:
    """Start of each word, never falling; words without a time share the room between those with one."""
    known = [(number, piece.start) for number, piece in enumerate(pieces) if piece.start is not None]
    anchors = [(0, start), *known] if not known or known[0][0] > 0 else known
    starts: list[float] = []
    for (number, at), (until, next_at) in zip(anchors, [*anchors[1:], (len(pieces), end)], strict=True):
        first = max(at, starts[-1] if starts else 0.0)
        step = max(0.0, next_at - first) / (until - number)
        starts += [first + step * place for place in range(until - number)]
    return starts


def _clock(seconds: float) -> str:
    whole = math.floor(seconds)
    return f"{whole // 60}:{whole % 60:02d}"
