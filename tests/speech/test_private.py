"""Nothing leaves the user's machine, and what is kept there is the user's own."""

import os
import stat
import subprocess
import sys
import wave
from pathlib import Path

import pytest

from critsheet.speech.store import Shelf


@pytest.mark.model
def test_listening_leaves_no_trace_of_libraries_that_report_their_use(tmp_path: Path) -> None:
    tone = tmp_path / "hum.wav"
    with wave.open(str(tone), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16000)
        file.writeframes((b"\x00\x08" * 40 + b"\x00\xf8" * 40) * 400)
    home = tmp_path / "home"
    home.mkdir()
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("ORT_", "XDG_"))}
    command = [sys.executable, "-c", "from critsheet.cli import main; main()", "make", str(tone)]
    subprocess.run(command, cwd=tmp_path, env=clean | {"HOME": str(home)}, check=False, capture_output=True)
    kept = {path.relative_to(home).parts[:2] for path in home.rglob("*") if path.is_file()}
    assert kept <= {(".cache", "critsheet")}


def test_only_the_user_may_look_into_what_was_heard(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path / "critsheet" / "heard" / "abc")
    shelf.write("whole", {"text": "private"})
    for folder in (shelf.folder, shelf.folder.parent, shelf.folder.parent.parent):
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
