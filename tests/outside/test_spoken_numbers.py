"""Our reading of spoken numbers against num2words, both ways, over 1..2000.

Source: num2words (LGPL), which writes numbers out in British English
("one hundred and eight") and American ("one hundred eight" is its form with the "and" left out), and years
("ten twenty-four", "eleven hundred", "nineteen oh-four").
"""

from collections.abc import Callable

import pytest
from num2words import num2words

from critsheet.language.numbers import spoken_numbers

NUMBERS = range(1, 2001)
YEARS = range(1001, 2000)


def british(value: int) -> str:
    return str(num2words(value, lang="en_GB")).replace(",", "")


def american(value: int) -> str:
    return british(value).replace(" and ", " ")


def as_a_year(value: int) -> str:
    return str(num2words(value, lang="en", to="year"))


def read(text: str) -> list[int]:
    return [number.value for number in spoken_numbers(text.split())]


@pytest.mark.parametrize("say", [british, american])
@pytest.mark.parametrize("hyphens", [True, False])
def test_every_number_that_num2words_writes_is_read_back(say: Callable[[int], str], hyphens: bool) -> None:
    said = {value: say(value) if hyphens else say(value).replace("-", " ") for value in NUMBERS}
    assert {value: read(text) for value, text in said.items()} == {value: [value] for value in NUMBERS}


def test_every_number_said_like_a_year_is_read_back() -> None:
    assert {value: read(as_a_year(value)) for value in YEARS} == {value: [value] for value in YEARS}


@pytest.mark.parametrize("say", [british, american, as_a_year])
def test_what_we_read_num2words_writes_the_same_way_again(say: Callable[[int], str]) -> None:
    for value in YEARS:
        text = say(value)
        (number,) = spoken_numbers(["frame", *text.split(), "slides"])
        assert say(number.value) == text
