"""How well recorded human speech is understood, by the measure that speech research uses.

Word error rate: substitutions, deletions and insertions over the words said (jiwer), both sides put in one spelling by
whisper-normalizer, hesitations left out.
"""

import re
from functools import lru_cache
from pathlib import Path

import jiwer
import pytest
from recorded_speech import Clip, prompts, readings
from whisper_normalizer.english import EnglishTextNormalizer

from critsheet import media
from critsheet.errors import NothingSaid
from critsheet.speech import catalogue
from critsheet.speech.listening import listen
from critsheet.speech.recogniser import Whisper
from critsheet.speech.store import Shelf

HESITATIONS = re.compile(r"\b(?:u[hm]+|e[rh]m?|h?mm+)\b")
MOST_PROMPT_ERRORS = 0.04
MOST_READING_ERRORS = 0.03
"""Measured: 0.033 and 0.014 (all prompts of twelve words and more with the readings: 0.031)."""

pytestmark = pytest.mark.model


@lru_cache(maxsize=1)
def model() -> Whisper:
    return Whisper(catalogue.folder_of(catalogue.DEFAULT_MODEL), "cpu", "en")


def spelt(text: str) -> str:
    return " ".join(HESITATIONS.sub("", EnglishTextNormalizer()(text)).split())


def word_error_rate(clips: list[Clip], cache: Path) -> float:
    said, heard = [], []
    for number, clip in enumerate(clips):
        said.append(spelt(clip.text))
        try:
            sound, shelf = media.decode_sound(clip.path), Shelf(cache / str(number))
            transcript = listen(sound, "en", model, shelf, lambda share: None)
            heard.append(spelt(" ".join(segment.text for segment in transcript.segments)))
        except NothingSaid:
            heard.append("")
    return float(jiwer.wer(said, heard))


def test_telephone_prompts_are_understood(tmp_path: Path) -> None:
    rate = word_error_rate(prompts(least_words=25), tmp_path)
    print(f"prompts: word error rate {rate:.3f}")
    assert rate <= MOST_PROMPT_ERRORS


def test_read_sentences_are_understood(tmp_path: Path) -> None:
    rate = word_error_rate(readings(), tmp_path)
    print(f"readings: word error rate {rate:.3f}")
    assert rate <= MOST_READING_ERRORS
