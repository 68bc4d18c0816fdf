"""Recordings as programs write them: whatever the container, the sound comes out the same and in step."""

from pathlib import Path

import numpy as np
import pytest

from critsheet import media

KINDS = [
    ("talk.wav", "pcm_s16le", 48000, "stereo", False),
    ("talk.wav", "pcm_s16le", 8000, "mono", False),
    ("talk.mp3", "libmp3lame", 44100, "stereo", False),
    ("talk.m4a", "aac", 48000, "mono", False),
    ("talk.ogg", "libopus", 48000, "stereo", False),
    ("talk.flac", "flac", 96000, "mono", False),
    ("talk.mp4", "aac", 44100, "stereo", True),
    ("talk.mov", "pcm_s16le", 32000, "mono", True),
    ("talk.mkv", "libopus", 48000, "mono", True),
    ("talk.webm", "libopus", 48000, "stereo", False),
]
LOSS = 0.06
"""Lossy sound differs a little in loudness and by up to a packet in length."""


def loudness(sound: np.ndarray) -> float:
    return float(np.sqrt(np.mean(np.square(sound))))


@pytest.mark.parametrize("kind", KINDS, ids=[f"{kind[0]}-{kind[2]}" for kind in KINDS])
def test_any_usual_recording_gives_mono_sound(record, kind: tuple[str, str, int, str, bool]) -> None:
    name, codec, rate, layout, pictures = kind
    path = record(name, codec, rate=rate, layout=layout, pictures=pictures)
    probe = media.probe(path)
    sound = media.decode_sound(path)
    assert (probe.has_sound, probe.has_pictures) == (True, pictures)
    assert probe.duration_s == pytest.approx(3.0, abs=0.1)
    assert sound.dtype == np.float32
    assert len(sound) / media.SAMPLE_RATE == pytest.approx(3.0, abs=0.1)
    middle = sound[media.SAMPLE_RATE : 2 * media.SAMPLE_RATE]
    assert loudness(middle) == pytest.approx(0.5 / np.sqrt(2), rel=LOSS)
    pitch = np.argmax(np.abs(np.fft.rfft(middle)))
    assert pitch == pytest.approx(440, abs=1)


def test_sound_that_begins_late_keeps_its_time(record) -> None:
    sound = media.decode_sound(record("late.mkv", "libopus", seconds=2, pictures=True, starts_at=1.5))
    assert loudness(sound[: round(1.4 * media.SAMPLE_RATE)]) < 0.01
    assert loudness(sound[round(1.7 * media.SAMPLE_RATE) :]) > 0.3
    assert len(sound) / media.SAMPLE_RATE == pytest.approx(3.5, abs=0.1)


def test_a_recorder_that_left_out_the_length_is_measured(record) -> None:
    path = record("live.mkv", "libopus", seconds=4, options={"live": "1"})
    assert media.probe(path).duration_s == pytest.approx(4.0, abs=0.1)


def test_a_film_without_sound_is_still_a_recording(record) -> None:
    probe = media.probe(record("silent.mp4", None, pictures=True))
    assert probe.has_pictures
    assert not probe.has_sound


def test_the_fingerprint_is_that_of_the_bytes(tmp_path: Path) -> None:
    path = tmp_path / "abc"
    path.write_bytes(b"abc")
    # FIPS 180-4, example for SHA-256 of "abc".
    assert media.sha256(path) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
