"""What speech adds and writing leaves out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet.language.disfluencies import fluent


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("um so uh the hips are late", "so the hips are late"),
        ("the the hips", "the hips"),
        ("at the at the landing he stops", "at the landing he stops"),
        ("it's sort of floaty", "it's floaty"),
        ("I would , you know , drop the hip", "I would, drop the hip"),
        ("it's , like , too even", "it's, too even"),
    ],
)
def test_fillers_and_restarts_go(said: str, written: str) -> None:
    assert " ".join(fluent(said.split())).replace(" ,", ",") == written


@pytest.mark.parametrize(
    "said",
    [
        "it feels like a board",
        "that kind of arc works",
        "I don't know what he wants",
        "way way too fast",
        "forty 40 41 41",
        "do you know who she is looking at",
    ],
)
def test_words_that_mean_something_stay(said: str) -> None:
    assert fluent(said.split()) == said.split()


@given(st.lists(st.sampled_from("um the hip hips , . I mean you know like so very late 42".split()), max_size=30))
def test_nothing_is_ever_added(words: list[str]) -> None:
    left = iter(words)
    assert all(word in left or word in {".", "?", "!"} for word in fluent(words))


@given(st.lists(st.sampled_from("um the hip , . late again".split()), max_size=30))
def test_cleaning_twice_changes_nothing_more(words: list[str]) -> None:
    once = fluent(words)
    assert len(fluent(once)) <= len(once)
