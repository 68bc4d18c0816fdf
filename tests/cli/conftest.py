"""An invented talk as a file, and a way to run the command line on it.

Finding the notes has its own tests; here it is replaced by something quick that finds one note a caption.
"""

from collections.abc import Callable
from pathlib import Path

import pytest
from invented_talk import TALK, heard, one_note_a_caption, write_tone

from critsheet import cli


@pytest.fixture(autouse=True)
def workplace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty current directory, a terminal of 80 columns, and quick notes."""
    place = tmp_path / "work"
    place.mkdir()
    monkeypatch.chdir(place)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("FORCE_COLOR", raising=False)
    monkeypatch.setattr("critsheet.notes.find_notes", one_note_a_caption)
    return place


@pytest.fixture
def captions(workplace: Path) -> Path:
    """The talk as a caption file."""
    path = workplace / "talk.vtt"
    path.write_text(TALK)
    return path


@pytest.fixture
def recording(workplace: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Ten seconds of a low tone, which a stand-in for the recogniser hears as one sentence."""
    path = workplace / "talk.wav"
    write_tone(path, 10)
    monkeypatch.setattr("critsheet.speech.transcribe", heard)
    return path


@pytest.fixture
def critsheet(capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str, str]]:
    """Runs a command line; gives exit status, stdout and stderr."""

    def run(*arguments: object) -> tuple[int, str, str]:
        status = cli.run([str(argument) for argument in arguments])
        captured = capsys.readouterr()
        return status, captured.out, captured.err

    return run
