"""`critsheet vocab check`, `try` and `list`."""

from collections.abc import Callable
from pathlib import Path

import pytest

from critsheet import cli

School = Callable[[dict[str, str]], Path]
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def vocab(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs `critsheet vocab ...` in a terminal of 80 columns; gives status, stdout and stderr."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("FORCE_COLOR", raising=False)

    def run(*arguments: str) -> tuple[int, str, str]:
        status = cli.run(["vocab", *arguments])
        shown = capsys.readouterr()
        return status, shown.out, shown.err

    return run


def test_the_shipped_vocabulary_is_checked(vocab: Run) -> None:
    status, out, _ = vocab("check")
    assert status == 0
    assert out.startswith("All is well: 21 categories")


def test_a_failing_example_is_shown_with_its_line(vocab: Run, school: School) -> None:
    folder = school({"categories/arcs.yaml": "id: arcs\nexamples:\n  match:\n    - Lovely day.\n"})
    status, _, err = vocab("check", str(folder))
    assert status == 4
    assert f"{folder}/categories/arcs.yaml:4: no phrase of arcs matches the example 'Lovely day.'" in err


def test_an_example_that_must_not_match_is_shown_with_the_rule(vocab: Run, school: School) -> None:
    folder = school({"categories/arcs.yaml": "id: arcs\nexamples:\n  no_match:\n    - The arc is broken.\n"})
    status, _, err = vocab("check", str(folder))
    assert status == 4
    assert "which it must not" in err


def test_an_error_is_one_line_and_a_way_out(vocab: Run, school: School) -> None:
    status, out, err = vocab("check", str(school({"cues.yaml": "prase: [lovely]\n"})))
    assert (status, out) == (4, "")
    assert "cues.yaml:1: unknown name 'prase'" in err
    assert len(err.strip().splitlines()) == 1


def test_a_sentence_is_tried(vocab: Run) -> None:
    status, out, _ = vocab("try", "the foot is sliding all over")
    assert status == 0
    assert "foot is sliding" in out
    assert "contact fault" in out
    assert "contact:" in out
    assert "a body part" in out


def test_trying_uses_the_shots_names(vocab: Run) -> None:
    _, out, _ = vocab("try", "I don't know what Tibby is thinking", "--names", "Tibby")
    assert "acting fault" in out


def test_a_sentence_with_nothing_in_it_says_what_to_do(vocab: Run) -> None:
    status, out, _ = vocab("try", "bananas galore")
    assert status == 0
    assert "Nothing is found" in out


def test_the_categories_are_listed_in_the_order_of_work(vocab: Run) -> None:
    _, out, _ = vocab("list")
    assert out.index("acting") < out.index("weight") < out.index("polish")


@pytest.mark.parametrize("what", ["contact", "cues", "body", "subjects", "stages"])
def test_one_list_fits_into_eighty_columns(vocab: Run, what: str) -> None:
    status, out, _ = vocab("list", what)
    assert status == 0
    assert max(map(len, out.splitlines())) <= 80


def test_an_unknown_list_names_the_known_ones(vocab: Run) -> None:
    status, _, err = vocab("list", "contacts")
    assert status == 2
    assert "contact, limbs" in err


def test_a_schools_folder_is_listed_too(vocab: Run, school: School) -> None:
    folder = school({"categories/contact.yaml": "id: contact\nfault:\n  - gummy shoes\n"})
    assert "gummy shoes" in vocab("list", "contact", "--vocab", str(folder))[1]
