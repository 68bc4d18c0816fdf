"""Where people talk in a recording, and how the talk is cut into blocks at pauses.

A block is the unit of work: it is heard by itself, so that a finished block can be kept and the result is the
same whether or not the work was interrupted.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from critsheet.media import SAMPLE_RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Sound = NDArray[np.float32]

PAUSE_S = 0.3
"""A silence this long separates two stretches of talk; it is where a speaker breathes, not where a word stops."""

KEPT_PAUSE_S = 2.0
"""Longer silences are cut out before recognition, which tends to fill them with invented words."""

PAD_S = 0.4
"""Sound kept on both sides of talk, so that soft first and last sounds survive; faster-whisper's own default."""

BLOCK_S, MIN_BLOCK_S, MAX_BLOCK_S = 120.0, 90.0, 150.0
"""Talk in one block: enough for the recogniser's 30-second windows, little enough to lose at an interruption."""

_SCAN_S = 600.0
"""Voice activity is looked for in stretches of ten minutes, which keeps the memory needed for it small."""

_LONGEST_TALK_S = 50.0
"""Talk without a pause is cut at a gap between words after at most this time; less than the room for a block's end."""

_QUIET = 0.001
"""Samples below -60 dB of full scale are silence whatever they hold; a quiet voice peaks 30 dB above."""


@dataclass(frozen=True)
class Span:
    """Samples start..end of a recording, end exclusive."""

    start: int
    end: int

    @property
    def seconds(self) -> float:
        return (self.end - self.start) / SAMPLE_RATE


Block = tuple[Span, ...]
"""The pieces of a recording that are heard together, long silences between them left out."""


def find_talk(sound: "Sound", progress: Callable[[float], None]) -> list[Span]:
    """Stretches of talk in order, split wherever nobody speaks for PAUSE_S; empty for silence."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    options = VadOptions(
        min_silence_duration_ms=round(PAUSE_S * 1000), speech_pad_ms=0, max_speech_duration_s=_LONGEST_TALK_S
    )
    step = round(_SCAN_S * SAMPLE_RATE)
    talk: list[Span] = []
    for start in range(0, len(sound), step):
        part = sound[start : start + step]
        if abs(part).max() >= _QUIET:
            found = get_speech_timestamps(part, options)
            talk += [Span(start + int(piece["start"]), start + int(piece["end"])) for piece in found]
        progress(min(1.0, (start + step) / len(sound)))
    return talk


def plan(talk: list[Span], total: int) -> list[Block]:
    """The talk in blocks of about BLOCK_S, each cut at the longest pause that is near; `total` samples in all."""
    blocks: list[Block] = []
    first, before = 0, 0
    while first < len(talk):
        end = first + _count(talk[first:])
        after = _middle(talk, end) if end < len(talk) else total
        blocks.append(_kept(talk[first:end], before, after))
        first, before = end, after
    return blocks


def _count(talk: list[Span]) -> int:
    """How many stretches the next block takes: up to the longest pause between MIN_BLOCK_S and MAX_BLOCK_S."""
    ends: list[float] = []
    for number, span in enumerate(talk):
        pause = _pause_s(talk, number) if number else 0.0
        kept = pause if pause <= KEPT_PAUSE_S else 2 * PAD_S
        ends.append((ends[-1] if ends else 0.0) + kept + span.seconds)
    if ends[-1] <= MAX_BLOCK_S:
        return len(talk)
    reached = [count for count in range(1, len(talk)) if ends[count - 1] >= MIN_BLOCK_S]
    choices = [count for count in reached if ends[count - 1] <= MAX_BLOCK_S] or [*reached, len(talk)][:1]
    return max(choices, key=lambda count: (_pause_s(talk, count), -abs(ends[count - 1] - BLOCK_S)))


def _pause_s(talk: list[Span], number: int) -> float:
    """Seconds of silence before a stretch that has one before it."""
    return (talk[number].start - talk[number - 1].end) / SAMPLE_RATE if number < len(talk) else 0.0


def _middle(talk: list[Span], number: int) -> int:
    """The sample in the middle of the silence before a stretch."""
    return (talk[number - 1].end + talk[number].start) // 2


def _kept(talk: list[Span], before: int, after: int) -> Block:
    """The stretches with PAD_S around them, within samples before..after, joined where a silence is kept."""
    pad = round(PAD_S * SAMPLE_RATE)
    spans: list[Span] = []
    for number, span in enumerate(talk):
        if number and _pause_s(talk, number) <= KEPT_PAUSE_S:
            spans[-1] = Span(spans[-1].start, min(span.end + pad, after))
        else:
            spans.append(Span(max(span.start - pad, before), min(span.end + pad, after)))
    return tuple(spans)
