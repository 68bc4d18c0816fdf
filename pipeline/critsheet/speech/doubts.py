"""When to believe what was heard: silence, music, another language, and text that nobody can have said."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from critsheet.errors import InputError, NothingSaid
from critsheet.media import SAMPLE_RATE
from critsheet.speech.blocks import Block, Span
from critsheet.speech.languages import LANGUAGES
from critsheet.speech.recogniser import REPETITIVE, HeardSegment, Recogniser

if TYPE_CHECKING:
    from critsheet.speech.blocks import Sound

_QUIET_PEAK = 0.01
"""A recording that never rises above -40 dB of full scale was made with the microphone off or turned away."""

_LEAST_TALK_S = 1.0
"""A single word takes half a second; a critique is longer than two."""

_LEAST_WORDS = 3

_FASTEST_WORDS_S = 10.0
"""Words a second. Fast talkers reach seven in a short phrase; invented text crams a sentence into a breath."""

_SHORTEST_S = 0.5
"""Shorter segments are timed too coarsely (the recogniser's step is 0.02 s) to judge their rate."""

_SURELY_SILENT = 0.6
_DOUBTFUL = -0.7
_HOPELESS = -1.3
"""Mean log-probability per token. With the base model, recorded and synthesised speech (29 minutes) stays above -0.55;
music, noise and humming that it is made to hear give -0.73 to -1.26, with a no-speech probability up to 0.99."""

_SAMPLE_S = 30.0
"""The recogniser tells the language from one window of this length (Whisper, section 2.3)."""

_SAMPLES = 3
_RIGHT_AT_ONCE = 0.5
_LIKELIEST = 0.3
_TIMES_LIKELIER = 10.0
"""What another language must reach over the loudest samples: a probability, and how many times that of the language
asked for. An accent leaves English far more than a tenth (0.7 with the oddest synthetic voices tried)."""


def check_talk(talk: list[Span], sound: "Sound") -> None:
    """Raises NothingSaid where voice activity says that there is nothing to listen to."""
    if sum(span.seconds for span in talk) >= _LEAST_TALK_S:
        return
    if abs(sound).max() < _QUIET_PEAK:
        raise NothingSaid("The recording is silent.", "Check that the right microphone was on, and record again.")
    raise nothing_said()


def check_words(segments: Iterable[HeardSegment]) -> None:
    """Raises NothingSaid where too few words are left to be a critique."""
    if sum(len(segment.words) for segment in segments) < _LEAST_WORDS:
        raise nothing_said()


def nothing_said() -> NothingSaid:
    """The error for a recording with sound in it, but nobody talking."""
    return NothingSaid(
        "Nobody is heard talking in this recording: only music, noise or silence.",
        "Check that the right microphone was on, or give captions instead.",
    )


def believable(segments: Iterable[HeardSegment]) -> list[HeardSegment]:
    """The segments that somebody can have said, in order."""
    return [segment for segment in segments if not _invented(segment)]


def _invented(segment: HeardSegment) -> bool:
    if not segment.words or segment.repetition > REPETITIVE or segment.log_probability < _HOPELESS:
        return True
    if segment.no_speech > _SURELY_SILENT and segment.log_probability < _DOUBTFUL:
        return True
    seconds = max(_SHORTEST_S, segment.words[-1].end - segment.words[0].start)
    return len(segment.words) > _FASTEST_WORDS_S * seconds


def check_language(sound: "Sound", plan: list[Block], language: str, recogniser: Recogniser) -> None:
    """Raises InputError where the loudest talk is surely in another language than the one asked for."""
    samples = _loudest(sound, plan)
    totals: dict[str, float] = {}
    for span in samples:
        probabilities = recogniser.languages(sound[span.start : span.end])
        if not probabilities or probabilities.get(language, 0.0) >= _RIGHT_AT_ONCE:
            return
        for code, probability in probabilities.items():
            totals[code] = totals.get(code, 0.0) + probability / len(samples)
    other = max(totals, key=lambda code: (totals[code], code))
    if totals[other] >= max(_LIKELIEST, _TIMES_LIKELIER * totals.get(language, 0.0)):
        name = LANGUAGES.get(other, other)
        raise InputError(
            f"This recording is in {name}, not in {LANGUAGES[language]}.",
            "Notes are found in English only; for talk in another language, give captions translated to English.",
        )


def _loudest(sound: "Sound", plan: list[Block]) -> list[Span]:
    """Up to _SAMPLES windows of talk, the loudest first."""
    import numpy as np

    size = round(_SAMPLE_S * SAMPLE_RATE)
    windows = [
        Span(start, min(start + size, span.end))
        for block in plan
        for span in block
        for start in range(span.start, span.end, size)
    ]
    power = {window: float(np.square(sound[window.start : window.end]).sum()) for window in windows}
    return sorted(windows, key=lambda window: (-power[window], window.start))[:_SAMPLES]
