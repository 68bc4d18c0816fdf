"""Listening block by block: times stay true, an interruption loses one block at most, and nothing is invented."""

import json
from pathlib import Path

import numpy as np
import pytest

from critsheet.errors import InputError, NothingSaid
from critsheet.sheet import Transcript
from critsheet.speech.listening import listen
from critsheet.speech.store import Shelf

LONG = [(10 * n, 10 * n + 9) for n in range(45)]
"""Seven and a half minutes of talk: four blocks."""


def heard(sound: np.ndarray, model: object, shelf: Shelf) -> Transcript:
    return listen(sound, "en", lambda: model, shelf, lambda share: None)  # type: ignore[arg-type, return-value]


def test_words_stand_at_their_own_time_of_the_recording(talk_at, recogniser, tmp_path: Path) -> None:
    sound = talk_at((10, 20), (50, 60), (62, 70), total=80)
    transcript = heard(sound, recogniser(), Shelf(tmp_path))
    assert all(any(a - 1 <= word.start <= b for a, b in ((10, 20), (50, 60), (62, 70))) for word in transcript.words)
    assert transcript.words[0].start == pytest.approx(9.6, abs=0.05)


def test_an_interrupted_run_goes_on_and_ends_the_same(talk_at, recogniser, tmp_path: Path) -> None:
    sound = talk_at(*LONG, total=460)
    whole = recogniser()
    expected = heard(sound, whole, Shelf(tmp_path / "whole"))
    assert whole.blocks == 4
    shelf = Shelf(tmp_path / "broken")
    with pytest.raises(KeyboardInterrupt):
        heard(sound, recogniser(stop_at=3), shelf)
    rest = recogniser()
    assert heard(sound, rest, shelf) == expected
    assert rest.blocks == 1


def test_a_damaged_block_is_heard_again(talk_at, recogniser, tmp_path: Path) -> None:
    sound = talk_at(*LONG, total=460)
    expected = heard(sound, recogniser(), Shelf(tmp_path))
    for number, damage in enumerate(["{", "[1]", '[{"words": 3}]', "null"]):
        (tmp_path / f"block-{number:04}.json").write_text(damage)
    assert heard(sound, recogniser(), Shelf(tmp_path)) == expected


def test_a_cache_that_cannot_be_written_does_not_stop_the_work(talk_at, recogniser, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    shelf = Shelf(tmp_path / "file" / "below")
    with shelf.alone():
        assert heard(talk_at((1, 9), total=10), recogniser(), shelf).words


def test_progress_rises_to_one(talk_at, recogniser, tmp_path: Path) -> None:
    told: list[float] = []
    listen(talk_at(*LONG, total=460), "en", recogniser, Shelf(tmp_path), told.append)
    assert told == sorted(told)
    assert told[-1] == pytest.approx(1.0)
    assert all(0 <= share <= 1 for share in told)


def test_silence_is_told_from_music(talk_at, recogniser, tmp_path: Path) -> None:
    quiet, music = np.full(160_000, 0.001, np.float32), np.full(160_000, 0.3, np.float32)
    talk_at(total=10)
    with pytest.raises(NothingSaid, match="silent"):
        heard(quiet, recogniser(), Shelf(tmp_path))
    with pytest.raises(NothingSaid, match="music"):
        heard(music, recogniser(), Shelf(tmp_path))


@pytest.mark.parametrize(
    "doubts",
    [
        {"repetition": 5.0},
        {"no_speech": 0.9, "log_probability": -0.8},
        {"log_probability": -1.5},
    ],
    ids=["a loop", "no speech", "a wild guess"],
)
def test_invented_text_gives_no_words(talk_at, recogniser, tmp_path: Path, doubts: dict[str, float]) -> None:
    with pytest.raises(NothingSaid, match="Nobody is heard talking"):
        heard(talk_at((1, 9), total=10), recogniser(**doubts), Shelf(tmp_path))


def test_nobody_says_twenty_words_in_a_second(talk_at, recogniser, tmp_path: Path, monkeypatch) -> None:
    from critsheet.speech.recogniser import HeardSegment, HeardWord

    crammed = HeardSegment(tuple(HeardWord(1 + n / 20, 1 + n / 20, "and", 0.5) for n in range(20)), -0.3, 0.1, 1.5)
    monkeypatch.setattr(recogniser, "hear", lambda self, sound, progress: [crammed])
    with pytest.raises(NothingSaid):
        heard(talk_at((1, 9), total=10), recogniser(), Shelf(tmp_path))


def test_another_language_is_named(talk_at, recogniser, tmp_path: Path) -> None:
    sound = talk_at((1, 9), total=10)
    with pytest.raises(InputError, match="in Spanish, not in English") as caught:
        heard(sound, recogniser("es"), Shelf(tmp_path))
    assert "translated to English" in caught.value.hint
    assert listen(sound, "es", lambda: recogniser("es"), Shelf(tmp_path), lambda share: None).language == "es"


def test_an_accent_is_not_another_language(talk_at, recogniser, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(recogniser, "languages", lambda self, sound: {"cy": 0.4, "en": 0.35, "de": 0.25})
    assert heard(talk_at((1, 9), total=10), recogniser(), Shelf(tmp_path)).words


def test_pieces_of_a_number_are_one_word(talk_at, recogniser, tmp_path: Path, monkeypatch) -> None:
    from critsheet.speech.recogniser import HeardSegment, HeardWord

    pieces = [("about", False), ("1", False), (",000", True), ("frames\u202e", False), ("\u200b", False)]
    words = tuple(HeardWord(n, n + 0.5, text, 0.9 - n / 10, joined) for n, (text, joined) in enumerate(pieces))
    monkeypatch.setattr(recogniser, "hear", lambda self, sound, progress: [HeardSegment(words, -0.3, 0.1, 1.0)])
    transcript = heard(talk_at((1, 9), total=10), recogniser(), Shelf(tmp_path))
    assert [word.text for word in transcript.words] == ["about", "1,000", "frames"]
    assert transcript.words[1].probability == pytest.approx(0.7)


def test_what_was_heard_is_kept_as_plain_json(talk_at, recogniser, tmp_path: Path) -> None:
    heard(talk_at((1, 9), total=10), recogniser(), Shelf(tmp_path))
    (kept,) = json.loads((tmp_path / "block-0000.json").read_text())
    assert {"words", "log_probability", "no_speech", "repetition"} == set(kept)
