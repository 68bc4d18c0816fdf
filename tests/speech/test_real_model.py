"""The speech stage with its real model, on recorded speech, music and another language."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import wave
from pathlib import Path

import numpy as np
import pytest

from critsheet.errors import InputError, ModelError, NothingSaid
from critsheet.sheet import Transcript
from critsheet.speech import SpeechOptions, transcribe
from critsheet.speech.store import cache_folder

pytestmark = pytest.mark.model

PROMPTS = Path("/usr/share/asterisk/sounds/en_US_f_Allison")
MUSIC = Path("/usr/share/asterisk/moh/manolo_camp-morning_coffee.wav")
SECONDS = 170
"""Two blocks."""
SPANISH = (
    "Hola, hoy vamos a mirar la animación del personaje. El pie se desliza en el suelo y la cadera no se mueve. "
    "Yo haría la anticipación más grande antes del salto."
)


def need(found: object, package: str) -> None:
    """Skips a test whose data is missing, and fails it in CI, where it must be there."""
    if not found:
        reason = f"recorded speech or a voice is missing: apt-get install {package}"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)


@pytest.fixture(autouse=True)
def shared_weights(cache: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Joins the weights once for all tests here."""
    shared = tmp_path_factory.getbasetemp() / "models"
    shared.mkdir(exist_ok=True)
    cache_folder().mkdir(parents=True)
    (cache_folder() / "models").symlink_to(shared)


@pytest.fixture
def offline(monkeypatch: pytest.MonkeyPatch) -> None:
    """No address can be reached."""

    def refuse(*args: object) -> None:
        pytest.fail("the network was asked for")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


@pytest.fixture(scope="module")
def talk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Nearly three minutes of recorded speech (Debian's asterisk-core-sounds-en-wav, CC-BY-SA-3.0)."""
    need(PROMPTS.is_dir(), "asterisk-core-sounds-en-wav")
    clips = sorted(PROMPTS.glob("*.wav"), key=lambda path: (-path.stat().st_size, path.name))
    path = tmp_path_factory.mktemp("talk") / "talk.wav"
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 8000, 0, "NONE", "not compressed"))
        while out.tell() < SECONDS * 8000:
            with wave.open(str(clips.pop(0))) as clip:
                out.writeframes(clip.readframes(clip.getnframes()) + bytes(12_000))
    return path


def listen(path: Path, **options: str) -> Transcript:
    return transcribe(path, SpeechOptions(**options), lambda share: None)


def test_an_interrupted_run_loses_a_block_at_most_and_ends_the_same(
    talk: Path, tmp_path: Path, cache: Path, offline: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = listen(talk)
    other = tmp_path / "other" / "critsheet"
    other.mkdir(parents=True)
    (other / "models").symlink_to((cache_folder() / "models").resolve())
    code = "import signal, sys; from pathlib import Path; from critsheet.speech import *; "
    code += "signal.signal(signal.SIGINT, signal.default_int_handler); "  # in the background it may come ignored
    code += "transcribe(Path(sys.argv[1]), SpeechOptions(), lambda share: None)"
    first = subprocess.Popen(
        [sys.executable, "-c", code, str(talk)],
        env={**os.environ, "XDG_CACHE_HOME": str(other.parent)},
        stderr=subprocess.DEVNULL,
    )
    deadline = time.monotonic() + 300
    while not list(other.glob("heard/*/*/block-0000.json")) and time.monotonic() < deadline:
        time.sleep(0.05)
    first.send_signal(signal.SIGINT)
    assert first.wait(timeout=60) != 0
    (kept,) = other.glob("heard/*/*/block-*.json")
    made = kept.stat().st_mtime_ns
    assert not list(other.glob("heard/*/*/transcript.json"))
    monkeypatch.setattr("platformdirs.user_cache_path", lambda *args, **kwargs: other)
    assert listen(talk) == whole
    assert kept.stat().st_mtime_ns == made
    assert len(whole.words) > 250
    assert listen(talk) == whole  # now read from the cache


def test_music_gives_a_clear_message_and_no_sheet() -> None:
    need(MUSIC.exists(), "asterisk-moh-opsound-wav")
    with pytest.raises(NothingSaid, match="music"):
        listen(MUSIC)


def test_an_hour_of_silence_is_told_quickly(tmp_path: Path) -> None:
    path = tmp_path / "hour.wav"
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 8000, 0, "NONE", "not compressed"))
        out.writeframes(bytes(2 * 8000 * 3600))
    before = time.perf_counter()
    with pytest.raises(NothingSaid, match="silent"):
        listen(path)
    assert time.perf_counter() - before < 30


def test_another_language_is_named_with_the_way_out(tmp_path: Path) -> None:
    need(shutil.which("espeak-ng"), "espeak-ng")
    path = tmp_path / "spanish.wav"
    subprocess.run(["espeak-ng", "-v", "es", "-s", "150", "-w", str(path), SPANISH], check=True)
    with pytest.raises(InputError, match="in Spanish, not in English") as caught:
        listen(path)
    assert "translated to English" in caught.value.hint
    assert "personaje" in listen(path, language="es").segments[0].text


def test_a_graphics_card_that_is_not_there_is_named(tmp_path: Path, talk: Path) -> None:
    import ctranslate2

    if ctranslate2.get_cuda_device_count():
        pytest.skip("this computer has an NVIDIA graphics card")
    with pytest.raises(ModelError, match="No NVIDIA graphics card") as caught:
        listen(talk, device="cuda")
    assert "--device" in caught.value.hint


def test_a_graphics_card_without_its_libraries_is_named(
    tmp_path: Path, talk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ctranslate2.get_cuda_device_count", lambda: 1)
    monkeypatch.setenv("CUDA_VISIBLE_DEVICES", "")
    with pytest.raises(ModelError, match="does not work here") as caught:
        listen(talk, device="cuda")
    assert "--device" in caught.value.hint


def test_a_damaged_model_folder_is_named(tmp_path: Path, talk: Path) -> None:
    for name in ("model.bin", "config.json", "tokenizer.json"):
        (tmp_path / name).write_text("{}")
    with pytest.raises(ModelError, match="does not work"):
        listen(talk, model=str(tmp_path))


def test_noise_is_not_talk(tmp_path: Path) -> None:
    path = tmp_path / "noise.wav"
    noise = np.random.default_rng(7).normal(0, 3000, 16000 * 20).astype(np.int16)
    with wave.open(str(path), "wb") as out:
        out.setparams((1, 2, 16000, 0, "NONE", "not compressed"))
        out.writeframes(noise.tobytes())
    with pytest.raises(NothingSaid):
        listen(path)
