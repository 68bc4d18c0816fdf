"""What a person types is understood as words, phrases and words to leave out, and as nothing else."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet import vocabulary
from critsheet.archive.note_index import fts5, tsquery
from critsheet.archive.query import MOST_WORDS, Phrase, understand
from critsheet.errors import InputError

PACK = vocabulary.load()


def parts(typed: str) -> list[str]:
    return [" ".join(part.terms) for part in understand(typed, PACK).parts if isinstance(part, Phrase)]


def test_words_of_a_question_are_left_out() -> None:
    assert parts("how do I make the crate look older") == ["make", "crate", "older"]


def test_where_nothing_else_was_typed_they_count() -> None:
    assert parts("to the") == ["to", "the"]


def test_a_word_typed_twice_counts_once() -> None:
    assert parts("crate crates crate") == ["crate"]


def test_a_quotation_mark_without_its_partner_reaches_to_the_end() -> None:
    assert parts('tail "same frame') == ["same frame", "tail"]


def test_a_joint_is_no_minus() -> None:
    asked = understand("follow-through", PACK)
    assert not asked.without


def test_a_pasted_page_is_refused() -> None:
    with pytest.raises(InputError, match=f"more than {MOST_WORDS} words"):
        understand("crate " * (MOST_WORDS + 1), PACK)


@given(st.text(max_size=60))
def test_every_term_stands_in_quotes_in_both_databases_languages(typed: str) -> None:
    try:
        asked = understand(typed, PACK)
    except InputError:
        return
    if not asked.parts:
        return
    for node in (asked.strictly(("=kind-fix",)), asked.loosely()):
        bare = re.sub(r'"[a-z0-9=~ -]+"', "", fts5(node))
        assert re.fullmatch(r"(?:AND|OR|NOT|[ ()])*", bare)
        bare = re.sub(r"'[a-z0-9=~-]+'", "", tsquery(node))
        assert re.fullmatch(r"(?:<->|[ ()&|!])*", bare)
