"""A fault that the mentor gave no remedy for: the sheet says so, and invents none."""

import pytest

from critsheet.remedies import without_remedy


@pytest.mark.parametrize("action", ["Fix the left knee at 120: it pops.", "If there is time, fix the hat: it pops."])
def test_a_fault_alone_has_no_remedy(action: str) -> None:
    assert without_remedy(action)


@pytest.mark.parametrize("action", ["Plant the left foot (it slides).", "Fix the loop before you send it."])
def test_a_remedy_stands_alone(action: str) -> None:
    assert not without_remedy(action)
