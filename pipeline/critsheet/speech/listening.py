"""Listens to decoded sound block by block, keeping each finished block, and puts the words on the recording's clock."""

from collections.abc import Callable
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from critsheet.media import SAMPLE_RATE
from critsheet.sheet import Segment, Transcript, Word
from critsheet.speech import blocks, doubts
from critsheet.speech.blocks import Block
from critsheet.speech.cleaning import clean
from critsheet.speech.recogniser import HeardSegment, HeardWord, Recogniser
from critsheet.speech.store import Shelf

if TYPE_CHECKING:
    from critsheet.speech.blocks import Sound

_SCAN_SHARE = 0.03
"""Share of the work that finding the talk takes (measured: base model, int8, processor)."""


def listen(
    sound: "Sound",
    language: str,
    recogniser: Callable[[], Recogniser],
    shelf: Shelf,
    progress: Callable[[float], None],
) -> Transcript:
    """What is said in mono sound of SAMPLE_RATE; words timed in seconds from its first sample.

    Finished blocks are read from and kept on the shelf. The recogniser is made only where something is left to
    hear. Raises NothingSaid for silence, music and noise, and InputError for another language.
    """
    talk = blocks.find_talk(sound, lambda share: progress(_SCAN_SHARE * share))
    doubts.check_talk(talk, sound)
    plan = blocks.plan(talk, len(sound))
    kept = [_from_document(shelf.read(_name(number))) for number in range(len(plan))]
    model: Recogniser | None = None
    total_s, done_s = sum(_seconds(block) for block in plan), 0.0
    heard: list[HeardSegment] = []
    for number, block in enumerate(plan):
        segments = kept[number]
        if segments is None:
            if model is None:
                model = recogniser()
                if not any(kept):
                    doubts.check_language(sound, plan, language, model)
            segments = _hear(sound, block, model, _Share(progress, done_s, total_s).tell)
            shelf.write(_name(number), [asdict(segment) for segment in segments])
        heard += segments
        done_s += _seconds(block)
        progress(_SCAN_SHARE + (1 - _SCAN_SHARE) * done_s / total_s)
    heard = doubts.believable(heard)
    doubts.check_words(heard)
    return _transcript(heard, language)


class _Share:
    """Turns seconds done inside one block into a share of the whole work."""

    def __init__(self, progress: Callable[[float], None], before_s: float, total_s: float) -> None:
        self._progress = progress
        self._before_s = before_s
        self._total_s = total_s

    def tell(self, seconds: float) -> None:
        share = min(1.0, (self._before_s + seconds) / self._total_s)
        self._progress(_SCAN_SHARE + (1 - _SCAN_SHARE) * share)


def _name(number: int) -> str:
    return f"block-{number:04}"


def _seconds(block: Block) -> float:
    return sum(span.seconds for span in block)


def _hear(sound: "Sound", block: Block, model: Recogniser, progress: Callable[[float], None]) -> list[HeardSegment]:
    """A block's segments on the recording's clock."""
    import numpy as np
    from faster_whisper.vad import SpeechTimestampsMap

    pieces = [sound[span.start : span.end] for span in block]
    clock = SpeechTimestampsMap([{"start": span.start, "end": span.end} for span in block], SAMPLE_RATE)
    return [
        HeardSegment(
            tuple(_moved(word, clock) for word in segment.words),
            round(segment.log_probability, 3),
            round(segment.no_speech, 3),
            round(segment.repetition, 3),
        )
        for segment in model.hear(np.concatenate(pieces), progress)
    ]


def _moved(word: HeardWord, clock: Any) -> HeardWord:
    """The word on the recording's clock, both ends by the piece of sound that holds its middle."""
    piece = clock.get_chunk_index((word.start + word.end) / 2)
    start = max(0.0, clock.get_original_time(word.start, piece))
    end = max(start, clock.get_original_time(word.end, piece))
    return HeardWord(start, end, word.text, round(word.probability, 3), word.joined)


def _from_document(document: Any) -> list[HeardSegment] | None:
    """The segments of a kept block, or None where there is none that is whole."""
    try:
        return [
            HeardSegment(**{**segment, "words": tuple(HeardWord(**word) for word in segment["words"])})
            for segment in document
        ]
    except (TypeError, KeyError):
        return None


def _transcript(heard: list[HeardSegment], language: str) -> Transcript:
    segments = [words for words in (_words(segment) for segment in heard) if words]
    return Transcript(
        language=language,
        segments=tuple(
            Segment(start=words[0].start, end=words[-1].end, text=" ".join(w.text for w in words), words=tuple(words))
            for words in segments
        ),
    )


def _words(segment: HeardSegment) -> list[Word]:
    """The words of a segment; a piece that continues the word before it ("1" ",000") is joined to it."""
    words: list[Word] = []
    for piece in segment.words:
        text = clean(piece.text)
        if words and piece.joined:
            last = words.pop()
            probability = min(last.probability, piece.probability)
            words.append(Word(start=last.start, end=piece.end, text=last.text + text, probability=probability))
        elif text:
            words.append(Word(start=piece.start, end=piece.end, text=text, probability=piece.probability))
    return words
