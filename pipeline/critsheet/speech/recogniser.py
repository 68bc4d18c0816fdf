"""Turns sound into words: a small protocol, and faster-whisper behind it."""

import dataclasses
import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from critsheet.errors import InputError, ModelError
from critsheet.speech.languages import LANGUAGES

if TYPE_CHECKING:
    from faster_whisper import WhisperModel

    from critsheet.speech.blocks import Sound

BEAM_SIZE = 5
REPETITIVE = 2.4
"""Text that compresses further than this repeats itself: the recogniser is caught in a loop.

Both from OpenAI's reference decoder (whisper/transcribe.py: beam size 5, compression ratio threshold 2.4).
"""

_LOOP_TOKENS = 3
"""In a window that loops, no run of this many tokens may come twice. The reference decoder samples at random instead,
which gives another text every time."""

_FORGET = 1.0
"""The temperature by which faster-whisper is told not to go on from a window's text: above its 0.5."""


@dataclass(frozen=True)
class HeardWord:
    """One recognised word; seconds from the start of the sound heard. `joined` when it continues the word before."""

    start: float
    end: float
    text: str
    probability: float
    joined: bool = False


@dataclass(frozen=True)
class HeardSegment:
    """One recognised phrase with the recogniser's own doubts about it.

    `log_probability` is the mean per token, `no_speech` the probability that nobody speaks, `repetition` how many
    times the text is longer than it is compressed.
    """

    words: tuple[HeardWord, ...]
    log_probability: float
    no_speech: float
    repetition: float


class Recogniser(Protocol):
    """What the stage needs of a speech model."""

    def hear(self, sound: "Sound", progress: Callable[[float], None]) -> list[HeardSegment]:
        """The words in up to a few minutes of sound; progress is told the seconds done."""
        ...

    def languages(self, sound: "Sound") -> dict[str, float]:
        """Probability of each language code in the first 30 seconds of the sound; empty if it cannot tell."""
        ...


class Whisper:
    """A Whisper model through faster-whisper, always giving the same words for the same sound.

    Each window goes on from the text before it: on synthesised critiques (3,638 words) that lowers the word error
    from 5.2 to 4.3 %. The user's names and the trade's terms are not given as a hint: as hotwords they raised it to
    7.6 to 10.7 %, as a first prompt to 6.3 %, because the base model then leaves out whole windows. `repair` finds
    them by sound instead.
    """

    def __init__(self, folder: Path, device: str, language: str) -> None:
        self._model = _load(folder, device)
        self._language = language
        if not self._model.model.is_multilingual and language != "en":
            raise InputError(
                f"The speech model in {folder} knows English only, not {LANGUAGES[language]}.",
                "Leave --language out, or choose a model that is not called .en.",
            )

    def hear(self, sound: "Sound", progress: Callable[[float], None]) -> list[HeardSegment]:
        with _usable():
            return list(self._hear(sound, progress))

    def _hear(self, sound: "Sound", progress: Callable[[float], None]) -> Iterator[HeardSegment]:
        segments, _ = self._model.transcribe(
            sound,
            language=self._language,
            beam_size=BEAM_SIZE,
            temperature=0.0,
            condition_on_previous_text=True,
            word_timestamps=True,
            vad_filter=False,
        )
        for segment in segments:
            progress(segment.end)
            yield _segment(segment)

    def languages(self, sound: "Sound") -> dict[str, float]:
        if not self._model.model.is_multilingual:
            return {}
        with _usable():
            _, _, probabilities = self._model.detect_language(sound)
        return dict(probabilities)


def _segment(segment: Any) -> HeardSegment:
    words = tuple(
        HeardWord(
            start=float(word.start),
            end=float(word.end),
            text=word.word.strip(),
            probability=min(1.0, max(0.0, float(word.probability))),
            joined=not word.word.startswith(" "),
        )
        for word in segment.words or ()
        if word.word.strip()
    )
    log_probability = float(segment.avg_logprob)
    return HeardSegment(
        words,
        log_probability if math.isfinite(log_probability) else -10.0,
        float(segment.no_speech_prob),
        float(segment.compression_ratio),
    )


@lru_cache(maxsize=1)
def _load(folder: Path, device: str) -> "WhisperModel":
    """The model, kept for the next recording of the same process."""
    import ctranslate2

    if device == "cuda" and not ctranslate2.get_cuda_device_count():
        raise ModelError(
            "No NVIDIA graphics card with CUDA was found on this computer.",
            "Leave --device out: the processor does the work.",
        )
    with _usable():
        return _model_class()(
            str(folder), device=device, compute_type="int8" if device == "cpu" else "auto", local_files_only=True
        )


@contextmanager
def _usable() -> Iterator[None]:
    """Turns what the recogniser's libraries raise (a damaged file, no CUDA libraries) into one clear line."""
    try:
        yield
    except (RuntimeError, ValueError, OSError) as error:
        reason = str(error).strip().splitlines() or [type(error).__name__]
        raise ModelError(
            f"The speech model does not work here: {reason[0].rstrip('.')}.",
            "Leave --model and --device out, or choose another model.",
        ) from error


class _SteadyFilters:
    """Mel filters that sum a spectrum in one order, whatever the number of processor cores.

    NumPy's matrix product rounds by the number of its threads, and a last digit can turn into another word.
    """

    def __init__(self, filters: Any) -> None:
        self._filters = filters

    def __matmul__(self, spectrum: Any) -> Any:
        import numpy as np

        return np.einsum("mf,ft->mt", self._filters, spectrum, optimize=False)


def _model_class() -> type["WhisperModel"]:
    """faster-whisper's model, with a deterministic way out of repetition loops."""
    from faster_whisper import WhisperModel

    class SteadyWhisperModel(WhisperModel):  # type: ignore[misc]
        def __init__(self, *arguments: Any, **options: Any) -> None:
            super().__init__(*arguments, **options)
            self.feature_extractor.mel_filters = _SteadyFilters(self.feature_extractor.mel_filters)

        def generate_with_fallback(self, encoder_output: Any, prompt: Any, tokenizer: Any, options: Any) -> Any:
            result = super().generate_with_fallback(encoder_output, prompt, tokenizer, options)
            if result[3] <= REPETITIVE:
                return result
            stricter = dataclasses.replace(options, no_repeat_ngram_size=_LOOP_TOKENS)
            again = super().generate_with_fallback(encoder_output, prompt, tokenizer, stricter)
            return again[0], again[1], _FORGET, again[3]

    return SteadyWhisperModel
