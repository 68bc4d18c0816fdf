"""The demo: Critsheet on the critiques that come with it, wherever it is installed."""

from collections.abc import Callable
from pathlib import Path

import pytest
from invented_talk import heard, write_tone

from critsheet.sheet import load

Run = Callable[..., tuple[int, str, str]]
SETTINGS = """
title = "Osk lifts the crate"
mentor = "Mara Quill"
student = "Jon Tarn"
submission = 2
fps = "24"
frames = "101-188"
names = "Osk, Tibby"
"""


@pytest.fixture
def samples(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two shipped recordings with their settings."""
    folder = tmp_path / "sample_audio"
    folder.mkdir()
    for name in ("crate", "walk"):
        (folder / f"{name}.toml").write_text(SETTINGS)
        write_tone(folder / f"{name}.m4a", 3)
    packaged = __import__("critsheet.resources").resources.folder
    monkeypatch.setattr("critsheet.resources.folder", lambda name: folder if name == "sample_audio" else packaged(name))
    monkeypatch.setattr("critsheet.speech.transcribe", heard)
    return folder


def test_the_demo_makes_a_sheet_of_every_sample_and_says_where(critsheet: Run, samples: Path) -> None:
    status, _, err = critsheet("demo")
    assert status == 0
    for name in ("crate", "walk"):
        sheet = load(Path("demo", name, "sheet.json"))
        assert sheet.review.title == "Osk lifts the crate"
        assert sheet.shot is not None
        assert (sheet.shot.first, sheet.shot.last) == (101, 188)
        assert f'src="../{name}.m4a"' in Path("demo", name, "sheet.html").read_text()
        assert str(Path("demo", name, "sheet.html")) in err


def test_the_demo_can_be_run_again(critsheet: Run, samples: Path) -> None:
    assert [critsheet("demo")[0] for _ in range(2)] == [0, 0]


def test_the_demo_overwrites_no_recording_of_the_users(critsheet: Run, samples: Path) -> None:
    Path("demo").mkdir()
    Path("demo/crate.m4a").write_text("mine")
    status, _, err = critsheet("demo")
    assert (status, err.count("\n")) == (6, 1)
    assert Path("demo/crate.m4a").read_text() == "mine"
