"""A school's own folder over the shipped pack."""

from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet import vocabulary
from critsheet.errors import VocabularyError
from critsheet.language.terms import find
from critsheet.vocabulary import Vocabulary

School = Callable[[dict[str, str]], Path]


def meanings(sentence: str, pack: Vocabulary) -> set[tuple[str | None, str]]:
    return {(found.category, found.function) for found in find(sentence.split(), pack)}


def test_a_school_adds_its_own_words(school: School) -> None:
    folder = school({"categories/contact.yaml": "id: contact\nfault:\n  - gummy shoes\n"})
    assert ("contact", "fault") in meanings("he has gummy shoes", vocabulary.load([folder]))
    assert ("contact", "fault") in meanings("the foot slides", vocabulary.load([folder]))


def test_a_school_changes_a_text_and_keeps_the_rest(school: School, pack: Vocabulary) -> None:
    folder = school({"categories/arcs.yaml": "id: arcs\nname: Bows\n"})
    entry = vocabulary.load([folder]).categories["arcs"]
    assert entry.name == "Bows"
    assert entry.meaning == pack.categories["arcs"].meaning


def test_a_school_replaces_a_category(school: School) -> None:
    texts = "".join(f"{key}: Our own.\n" for key in ("name", "meaning", "why", "fix", "check"))
    folder = school(
        {"categories/contact.yaml": f"id: contact\nreplace: true\norder: 6\n{texts}fault:\n  - gummy shoes\n"}
    )
    own = vocabulary.load([folder])
    assert [phrase.text for phrase in own.phrases if phrase.category == "contact"] == ["gummy shoes"]
    assert not [example for example in own.examples if example.category == "contact"]


def test_a_replacement_must_be_whole(school: School) -> None:
    folder = school({"categories/contact.yaml": "id: contact\nreplace: true\nname: Feet\n"})
    with pytest.raises(VocabularyError, match=r"contact.yaml:1: category 'contact' lacks meaning, why"):
        vocabulary.load([folder])


def test_a_phrase_that_a_school_gives_another_meaning_keeps_the_schools(school: School) -> None:
    folder = school({"categories/spacing.yaml": "id: spacing\nfault:\n  - moonwalk\n"})
    assert meanings("he moonwalks", vocabulary.load([folder])) == {("spacing", "fault")}


def test_the_last_folder_wins(tmp_path: Path) -> None:
    for name, title in (("one", "First"), ("two", "Second")):
        (tmp_path / name / "categories").mkdir(parents=True)
        (tmp_path / name / "categories" / "arcs.yaml").write_text(f"id: arcs\nname: {title}\n")
    assert vocabulary.load([tmp_path / "one", tmp_path / "two"]).categories["arcs"].name == "Second"


def test_cues_and_body_parts_can_be_added(school: School) -> None:
    folder = school({"cues.yaml": "retraction:\n  - rub that out\n", "body.yaml": "foot:\n  - clodhopper\n"})
    own = vocabulary.load([folder])
    assert (None, "retraction") in meanings("rub that out", own)
    assert ("contact", "fault") in meanings("his clodhopper slides", own)


def test_every_change_of_a_folder_shows_in_the_hash(school: School, pack: Vocabulary) -> None:
    folder = school({"cues.yaml": "retraction:\n  - rub that out\n"})
    first = vocabulary.load([folder]).sha256
    (folder / "cues.yaml").write_text("retraction:\n  - rub it out\n")
    assert len({first, vocabulary.load([folder]).sha256, pack.sha256}) == 3


def test_a_readme_may_lie_beside_the_files(school: School) -> None:
    folder = school({"README.md": "ours", "cues.yaml": "must:\n  - gold star\n"})
    assert vocabulary.load([folder])
