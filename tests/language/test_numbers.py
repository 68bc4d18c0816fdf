"""Numbers as people say them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet.language.numbers import spoken_numbers


def values(text: str) -> list[int]:
    return [number.value for number in spoken_numbers(text.split())]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("forty-two", 42),
        ("forty two", 42),
        ("Forty - two", 42),
        ("one oh eight", 108),
        ("one-o-eight", 108),
        ("a hundred and eight", 108),
        ("hundred and eight", 108),
        ("one hundred eight", 108),
        ("one hundred oh two", 102),
        ("seventy-one's", 71),
        ("one twenty", 120),
        ("ten twenty-four", 1024),
        ("a thousand twenty-four", 1024),
        ("ten oh one", 1001),
        ("one oh oh one", 1001),
        ("one zero two four", 1024),
        ("one four two", 142),
        ("eleven hundred", 1100),
        ("one thousand and one", 1001),
        ("1,024", 1024),
        ("1024.", 1024),
        ("11 hundred", 1100),
        ("1 oh 8", 108),
        ("10 24", 1024),
        ("nought", 0),
        ("zero", 0),
    ],
)
def test_a_number_in_words_or_digits(text: str, value: int) -> None:
    assert values(text) == [value]


@pytest.mark.parametrize(
    ("text", "value"),
    [("one, um, forty", 140), ("one um forty", 140), ("forty, uh, two", 42), ("a hundred and, er, eight", 108)],
)
def test_hesitation_inside_a_number_is_passed_over(text: str, value: int) -> None:
    assert values(text) == [value]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("one, two, three", [1, 2, 3]),
        ("one two three four five", [1, 2, 3, 4, 5]),
        ("forty-two, forty-three", [42, 43]),
        ("34 35", [34, 35]),
        ("one, forty", [1, 40]),
        ("It's one. Forty frames", [1, 40]),
        ("one twenty one twenty-four", [120, 124]),
        ("ten fifty ten fifty one ten fifty two", [1050, 1051, 1052]),
        ("between a hundred and one twenty", [100, 120]),
        ("one hundred and one hundred ten", [100, 110]),
        ("three hundred three oh one", [300, 301]),
        ("the first one fifty-eight he turns", [1, 1, 58]),
        ("two ten oh one", [2, 1001]),
        ("forty fifty", [40, 50]),
        ("ninety six oh no", [96]),
        ("101-188", [101, 188]),
        ("six foot eight", [6, 8]),
        ("a foot and the hip", []),
        ("oh the arm", []),
        ("a second", []),
    ],
)
def test_where_one_number_ends_and_the_next_begins(text: str, found: list[int]) -> None:
    assert values(text) == found


@pytest.mark.parametrize(
    ("text", "value", "form"),
    [
        ("the nineties", 90, "decade"),
        ("the one-forties", 140, "decade"),
        ("the 40s", 40, "decade"),
        ("the twenty-fifth", 25, "ordinal"),
        ("the 64th", 64, "ordinal"),
        ("the third", 3, "ordinal"),
        ("10:24", 1024, "clock"),
    ],
)
def test_other_forms_are_told_apart(text: str, value: int, form: str) -> None:
    (number,) = spoken_numbers(text.split())
    assert (number.value, number.form) == (value, form)


def test_a_number_that_could_be_two_tells_its_parts() -> None:
    (number,) = spoken_numbers("ten twenty-four".split())
    assert [(part.value, part.start, part.end) for part in number.parts] == [(10, 0, 1), (24, 1, 2)]


def test_positions_are_words_whether_or_not_punctuation_stands_apart() -> None:
    (attached,) = spoken_numbers("at forty-two, then".split())
    (apart,) = spoken_numbers("at forty-two , then".split())
    assert (attached.start, attached.end) == (apart.start, apart.end) == (1, 2)


@given(st.lists(st.text(max_size=8), max_size=12))
def test_any_text_is_read_without_error(words: list[str]) -> None:
    for number in spoken_numbers(words):
        assert 0 <= number.start < number.end <= len(words)
        assert number.value >= 0


@given(st.integers(0, 99_999))
def test_digits_are_read_as_they_stand(value: int) -> None:
    assert values(f"at {value} there") == [value]
    assert values(f"at {value:,} there") == [value]


@given(st.integers(1, 20), st.integers(10, 99))
def test_a_number_said_as_hundreds_and_the_rest_is_whole(head: int, rest: int) -> None:
    from num2words import num2words

    assert values(f"{num2words(head)} {num2words(rest)}") == [100 * head + rest]
