"""What a mentor wants kept is named, a bare pointer is not."""

import pytest

from critsheet.notes.praise import praised


@pytest.mark.parametrize("text, kept", [("I love this pause", "this pause"), ("I love that he waits", "how he waits")])
def test_the_thing_praised_is_named(text: str, kept: str) -> None:
    assert praised(text) == kept


@pytest.mark.parametrize("text", ["I love this", "I like that bit", "I love this here"])
def test_a_bare_pointer_names_nothing(text: str) -> None:
    assert praised(text) is None
