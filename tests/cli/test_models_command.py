"""Which speech models one can choose."""

from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet.speech import DEFAULT_MODEL, Model

Run = Callable[..., tuple[int, str, str]]


def test_models_are_listed_with_the_default_marked(critsheet: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    known = [Model(DEFAULT_MODEL, None, "comes with Critsheet"), Model("small", Path("/models/small"), "downloaded")]
    monkeypatch.setattr("critsheet.speech.models", lambda: known)
    status, out, _ = critsheet("models")
    assert status == 0
    assert f"{DEFAULT_MODEL} (used if --model is left out)" in out
    assert "/models/small" in out
    assert "folder with any Whisper model" in out
