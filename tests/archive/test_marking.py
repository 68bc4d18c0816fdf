"""Matches are marked as they were said, and a long quote is cut around the first of them."""

from hypothesis import given
from hypothesis import strategies as st

from critsheet import vocabulary
from critsheet.archive.marking import SHOWN, Marked, mark
from critsheet.archive.query import understand

PACK = vocabulary.load()


def marked(text: str, typed: str) -> list[str]:
    found = mark(text, understand(typed, PACK), PACK)
    return [found.text[start:end] for start, end in found.spans]


def test_punctuation_is_left_outside() -> None:
    assert marked("Her crate, it (drops).", "crate drop") == ["crate", "drops"]


def test_a_phrase_is_marked_as_one() -> None:
    assert marked("They stop on the same frame, the same as before", '"the same frame"') == ["the same frame"]


def test_a_word_with_a_joint_is_marked_whole() -> None:
    assert marked("Add follow-through on the tail", "follow through") == ["follow-through"]


def test_a_long_quote_is_cut_between_words_around_the_match() -> None:
    text = "word " * 100 + "the foot slides " + "word " * 100
    cut = mark(text.strip(), understand("foot", PACK), PACK).around()
    assert len(cut.text) <= SHOWN + 2
    assert cut.text.startswith("…word") and cut.text.endswith("word…")
    assert [cut.text[start:end] for start, end in cut.spans] == ["foot"]


@given(st.text(max_size=600), st.lists(st.tuples(st.integers(0, 600), st.integers(1, 40)), max_size=3))
def test_every_mark_lies_within_the_piece_that_is_shown(text: str, places: list[tuple[int, int]]) -> None:
    ends, spans = 0, []
    for start, length in sorted(places):
        if start >= ends and start + length <= len(text):
            spans.append((start, start + length))
            ends = start + length
    cut = Marked(text, tuple(spans)).around()
    assert len(cut.text) <= max(SHOWN + 2, 0) or cut.text == text
    assert all(0 <= start < end <= len(cut.text) for start, end in cut.spans)
    if spans:
        start, end = cut.spans[0]
        assert text[spans[0][0] : spans[0][1]].startswith(cut.text[start:end].rstrip("…"))
