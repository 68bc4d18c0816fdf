"""A recording is listened to once: the same file with the same settings is read back, anything else is heard anew."""

from pathlib import Path

import pytest

from critsheet import media
from critsheet.errors import InputError
from critsheet.speech import SpeechOptions, recordings, transcribe


@pytest.fixture
def heard(talk_at, recogniser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Stands in for decoding and for the model; lists the language of each listening."""
    languages: list[str] = []
    sound = talk_at((1, 9), total=10)

    def made(folder: Path, device: str, language: str) -> object:
        languages.append(language)
        return recogniser(language)

    (tmp_path / "model").mkdir()
    (tmp_path / "model" / "model.bin").touch()
    monkeypatch.setattr(media, "decode_sound", lambda path: sound)
    monkeypatch.setattr(recordings, "Whisper", made)
    monkeypatch.setattr("critsheet.speech.catalogue.folder_of", lambda model: tmp_path / "model")
    return languages


def talk(tmp_path: Path, content: bytes = b"a talk") -> Path:
    path = tmp_path / "talk.wav"
    path.write_bytes(content)
    return path


def test_the_second_time_nothing_is_heard(heard: list[str], tmp_path: Path) -> None:
    first = transcribe(talk(tmp_path), SpeechOptions(), lambda share: None)
    told: list[float] = []
    assert transcribe(talk(tmp_path), SpeechOptions(), told.append) == first
    assert heard == ["en"]
    assert told == [1.0]


def test_another_recording_or_setting_is_heard_anew(heard: list[str], tmp_path: Path) -> None:
    transcribe(talk(tmp_path), SpeechOptions(), lambda share: None)
    transcribe(talk(tmp_path), SpeechOptions(language="fr"), lambda share: None)
    transcribe(talk(tmp_path, b"another talk"), SpeechOptions(), lambda share: None)
    assert heard == ["en", "fr", "en"]


def test_a_damaged_transcript_is_made_again(heard: list[str], tmp_path: Path, cache: Path) -> None:
    first = transcribe(talk(tmp_path), SpeechOptions(), lambda share: None)
    (kept,) = cache.rglob("transcript.json")
    kept.write_text('{"language": 5}')
    assert transcribe(talk(tmp_path), SpeechOptions(), lambda share: None) == first


def test_what_was_said_is_kept_for_the_user_alone(heard: list[str], tmp_path: Path, cache: Path) -> None:
    transcribe(talk(tmp_path), SpeechOptions(), lambda share: None)
    (kept,) = cache.rglob("transcript.json")
    assert kept.parent.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("options", [SpeechOptions(language="xx"), SpeechOptions(device="gpu")])
def test_an_option_that_means_nothing_lists_what_does(tmp_path: Path, options: SpeechOptions) -> None:
    with pytest.raises(InputError) as caught:
        transcribe(talk(tmp_path), options, lambda share: None)
    assert caught.value.hint
