"""A cache of its own for every test, sound with talk in known places, and a recogniser that says what it is told."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from critsheet.media import SAMPLE_RATE
from critsheet.speech import blocks
from critsheet.speech.blocks import Span
from critsheet.speech.recogniser import HeardSegment, HeardWord


@pytest.fixture(autouse=True)
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache, so that no test sees another's."""
    folder = tmp_path / "cache"
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder))
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *args, **kwargs: folder / "critsheet")
    return folder


@pytest.fixture
def talk_at(monkeypatch: pytest.MonkeyPatch) -> Callable[..., np.ndarray]:
    """`talk_at((1, 4), (6, 9), total=10)`: sound in which voice activity finds talk in these seconds."""

    def make(*spans: tuple[float, float], total: float) -> np.ndarray:
        found = [Span(round(start * SAMPLE_RATE), round(end * SAMPLE_RATE)) for start, end in spans]

        def find_talk(sound: np.ndarray, progress: Callable[[float], None]) -> list[Span]:
            progress(1.0)
            return found

        monkeypatch.setattr(blocks, "find_talk", find_talk)
        sound = np.full(round(total * SAMPLE_RATE), 0.001, np.float32)
        for span in found:
            sound[span.start : span.end] = 0.5
        return sound

    return make


class OneWordASecond:
    """Hears a numbered word for each second of talk, at its own time in the sound; counts the blocks it was given."""

    def __init__(self, code: str = "en", stop_at: int | None = None, **doubts: float) -> None:
        self.code = code
        self.stop_at = stop_at
        self.doubts = {"log_probability": -0.3, "no_speech": 0.1, "repetition": 1.5} | doubts
        self.blocks = 0

    def hear(self, sound: np.ndarray, progress: Callable[[float], None]) -> list[HeardSegment]:
        if self.blocks == self.stop_at:
            raise KeyboardInterrupt
        self.blocks += 1
        seconds = len(sound) // SAMPLE_RATE
        progress(seconds)
        talked = [n for n in range(seconds) if sound[int((n + 0.5) * SAMPLE_RATE)] > 0.1]
        return [HeardSegment(tuple(HeardWord(n, n + 0.9, f"word{n}", 0.9) for n in talked), **self.doubts)]

    def languages(self, _sound: np.ndarray) -> dict[str, float]:
        return {self.code: 0.95, "en": 0.05} if self.code != "en" else {"en": 0.98}


@pytest.fixture
def recogniser() -> type[OneWordASecond]:
    return OneWordASecond
