"""The shipped pack, read once, and a school's folder to lay over it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet import vocabulary
from critsheet.vocabulary import Vocabulary


@pytest.fixture(scope="session")
def pack() -> Vocabulary:
    """The vocabulary that ships with Critsheet."""
    return vocabulary.load()


@pytest.fixture
def school(tmp_path: Path) -> Callable[..., Path]:
    """Writes files, given as {name: text}, into a school's vocabulary folder."""

    def write(files: dict[str, str]) -> Path:
        folder = tmp_path / "school"
        for name, text in files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")
        return folder

    return write
