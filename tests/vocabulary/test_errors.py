"""A mistake in a folder is named with its file and line, and with a way out."""

from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet import vocabulary
from critsheet.errors import VocabularyError

School = Callable[[dict[str, str]], Path]

MISTAKES = {
    "unknown key": ("categories/a.yaml", "id: arcs\nfaults:\n  - kinky\n", 2, "unknown name 'faults'"),
    "unknown cue": ("cues.yaml", "praises:\n  - lovely\n", 1, "unknown name 'praises'"),
    "unknown body part": ("body.yaml", "flipper:\n  - fin\n", 1, "unknown name 'flipper'"),
    "unknown category": ("categories/a.yaml", "name: X\nid: arks\n", 2, "'arks' is not known"),
    "no id": ("categories/a.yaml", "name: Arcs\n", 1, "has no id"),
    "key given twice": ("categories/a.yaml", "id: arcs\nfault: [kinky]\nfault: [bent]\n", 3, "given twice"),
    "phrase given twice": ("categories/a.yaml", "id: arcs\nfault:\n  - kinky\n  - kinky\n", 4, "already on line 3"),
    "not a list": ("categories/a.yaml", "id: arcs\nfault: kinky\n", 2, "should be a list"),
    "not a text": ("categories/a.yaml", "id: arcs\nname: [a]\n", 2, "should be a text"),
    "not a number": ("categories/a.yaml", "id: arcs\norder: late\n", 2, "whole number"),
    "not a flag": ("categories/a.yaml", "id: arcs\nreplace: maybe\n", 2, "true or false"),
    "bad phrase": ("categories/a.yaml", "id: arcs\nfault:\n  - fine\n  - (wonky\n", 4, "not closed"),
    "unknown part": ("categories/a.yaml", "id: arcs\nfault:\n  - ~flipper wobbles\n", 3, "would match nothing"),
    "nothing to find": ("categories/a.yaml", "id: arcs\nfault:\n  - '...'\n", 3, "would match nothing"),
    "ambiguous without cue": (
        "categories/a.yaml",
        "id: arcs\nambiguous:\n  - {phrase: even}\n",
        3,
        "'near' or 'unless'",
    ),
    "misheard as itself": ("categories/a.yaml", "id: arcs\nmisheard:\n  - {heard: arcs, meant: arcs}\n", 3, "itself"),
    "misheard as nothing": ("categories/a.yaml", "id: arcs\nmisheard:\n  - {heard: arks}\n", 3, "no 'meant'"),
    "clash in a file": (
        "categories/a.yaml",
        "id: arcs\nfault: [gnarly]\npraise: [gnarly]\n",
        2,
        "clashes with 'gnarly'",
    ),
    "broken yaml": ("categories/a.yaml", "id: arcs\nfault:\n  - 'open\n", 3, "not well-formed"),
    "empty file": ("categories/a.yaml", "", 1, "is empty"),
    "alias": ("categories/a.yaml", "id: arcs\nfault: &a [kinky]\npraise: *a\n", 2, "used twice"),
    "unknown file": ("cue.yaml", "praise: [lovely]\n", 1, "not a file that"),
    "stage without name": ("stages.yaml", "- id: layout\n", 1, "has no 'name'"),
}


@pytest.mark.parametrize(("name", "text", "line", "what"), MISTAKES.values(), ids=MISTAKES.keys())
def test_a_mistake_is_shown_where_it_stands(school: School, name: str, text: str, line: int, what: str) -> None:
    folder = school({name: text})
    with pytest.raises(VocabularyError) as caught:
        vocabulary.load([folder])
    assert caught.value.what.startswith(f"{folder}/{name}:{line}: ")
    assert what in caught.value.what
    assert caught.value.hint
    assert "\n" not in str(caught.value)
    assert caught.value.exit_status == 4


def test_two_files_of_one_category_are_refused(school: School) -> None:
    folder = school({"categories/a.yaml": "id: arcs\n", "categories/b.yaml": "id: arcs\n"})
    with pytest.raises(VocabularyError, match=r"b.yaml:1: category 'arcs' is already in .*a.yaml"):
        vocabulary.load([folder])


def test_bytes_that_are_no_text_are_refused(school: School) -> None:
    folder = school({"cues.yaml": ""})
    (folder / "cues.yaml").write_bytes(b"\xff\xfe\x00praise")
    with pytest.raises(VocabularyError, match="UTF-8"):
        vocabulary.load([folder])


@pytest.mark.parametrize("missing", ["nowhere", "empty", "file"])
def test_a_folder_without_a_vocabulary_is_refused(tmp_path: Path, missing: str) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_text("id: arcs\n")
    with pytest.raises(VocabularyError, match=missing):
        vocabulary.load([tmp_path / missing])


def test_a_huge_file_is_refused_unread(school: School) -> None:
    folder = school({"cues.yaml": "praise:\n" + "  - lovely\n" * 300_000})
    with pytest.raises(VocabularyError, match="too large"):
        vocabulary.load([folder])
