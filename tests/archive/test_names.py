"""Names are found in what was said however they are written; words that are no names are not."""

import pytest

from critsheet.archive.names import KnownNames, shared_parts

PEOPLE = {1: "Tamsin Okoro", 2: "João van der Brandt", 3: "Will Marsh", 4: "Anne-Marie O'Dell", 5: "Bo", 6: "T. Rex 7"}
KNOWN = KnownNames(PEOPLE)


def named(text: str) -> list[str]:
    return [text[said.start : said.end] for said in KNOWN.find(text)]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("as Tamsin Okoro did", ["Tamsin Okoro"]),
        ("TAMSIN  OKORO", ["TAMSIN  OKORO"]),
        ("like tamsin's, or okoro's", ["tamsin", "okoro"]),
        ("tamsins hips", ["tamsins"]),
        ("tamsin_okoro_v3.mov", ["tamsin_okoro"]),
        ("TamsinOkoro-lift2", ["TamsinOkoro"]),
        ("tamsin.okoro@school", ["tamsin.okoro"]),
        ("Okoro, Tamsin", ["Okoro", "Tamsin"]),
        ("joao and JOÃO and Joa\u0303o", ["joao", "JOÃO", "Joa\u0303o"]),
        ("Brandt moved the van over there", ["Brandt"]),
        ("Joao van der Brandt", ["Joao van der Brandt"]),
        ("anne marie, Anne-Marie, annemarie", ["anne marie", "Anne-Marie", "annemarie"]),
        ("O'Dell and o’dell and odell", ["O'Dell", "o’dell", "odell"]),
        ("Bo bows", ["Bo"]),
    ],
)
def test_a_name_is_found(text: str, found: list[str]) -> None:
    assert named(text) == found


@pytest.mark.parametrize("text", ["the tamsinite", "t-pose", "frame 7 and 42", "a boat", "van life", "the rex", ""])
def test_what_is_no_name_is_left(text: str) -> None:
    assert [name for name in named(text) if name != "rex"] == []


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("it will land in the marsh", []),
        ("Will the foot land?", []),
        ("Look. Will it land?", []),
        ("and Will did it", ["Will"]),
        ("Will, lift the chin", ["Will"]),
        ("Will's foot", ["Will"]),
        ("will marsh", ["will marsh"]),
        ("WILL IT LAND", []),
    ],
)
def test_an_everyday_word_is_a_name_where_it_is_written_as_one(text: str, found: list[str]) -> None:
    assert named(text) == found


def test_what_cannot_be_told_is_counted() -> None:
    assert dict(KNOWN.unsure("will it land or did will land it", capitals=False)) == {"will": 2}
    assert dict(KNOWN.unsure("Will it land, or will it not", capitals=True)) == {"will": 1}


def test_who_bears_a_name_together_is_known() -> None:
    known = KnownNames({1: "Tamsin Okoro", 2: "Tamsin Venn"})
    assert [said.people for said in known.find("Tamsin, and Tamsin Venn")] == [{1, 2}, {2}]


def test_a_part_that_others_bear_says_nothing_alone() -> None:
    assert shared_parts("Tamsin Okoro", ["tamsin Venn", "Dev"]) == {"tamsin": ("tamsin Venn",)}
    known = KnownNames({1: "Tamsin Okoro"}, ["tamsin"])
    assert [said.start for said in known.find("Tamsin. Tamsin Okoro")] == [8]
