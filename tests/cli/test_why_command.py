"""`critsheet why` tells what decided each note's labels, from the sheet alone."""

from collections.abc import Callable
from pathlib import Path

import pytest

Critsheet = Callable[..., tuple[int, str, str]]


@pytest.fixture
def sheet(captions: Path, critsheet: Critsheet) -> str:
    assert critsheet("make", captions, "--quiet")[0] == 0
    return "critsheet-talk/sheet.json"


def test_every_note_is_explained(sheet: str, critsheet: Critsheet) -> None:
    status, out, _ = critsheet("why", sheet)
    assert status == 0
    assert "n1  " in out
    assert "category: " in out


def test_a_note_that_is_not_there_gets_a_list_of_those_that_are(sheet: str, critsheet: Critsheet) -> None:
    status, _, err = critsheet("why", sheet, "--note", "n99")
    assert status == 2
    assert "has no note 'n99'. Its notes: n1" in err
