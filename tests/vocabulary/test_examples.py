"""Every example that stands beside the rules is run."""

import pytest

from critsheet import vocabulary
from critsheet.vocabulary import Example
from critsheet.vocabulary.check import holds

PACK = vocabulary.load()


@pytest.mark.parametrize(
    "example", PACK.examples, ids=lambda example: f"{example.category} {example.expected} {example.text[:50]}"
)
def test_an_example_is_found_or_stays_away_as_it_says(example: Example) -> None:
    assert holds(example, PACK), f"{example.file}:{example.line}: {example.text}"
