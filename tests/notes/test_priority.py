"""What comes first, and why."""

import numpy as np
import pytest

from critsheet import vocabulary
from critsheet.language import learned
from critsheet.language.remarks import Remark
from critsheet.notes.about import About
from critsheet.notes.drafts import Draft
from critsheet.notes.labels import Labels
from critsheet.notes.priority import FIRST, LATER, ranked, reasons
from critsheet.sheet import Kind, Strength

CATEGORIES = vocabulary.load().categories


@pytest.fixture(autouse=True)
def stress_decides(monkeypatch: pytest.MonkeyPatch) -> None:
    """Weights by which only stress matters."""
    model = learned.Choice((FIRST, LATER), {"strength must": np.array([2.0, -2.0])}, {})
    monkeypatch.setattr("critsheet.notes.priority.choice", lambda section: model)


def note(kind: Kind, at_s: float = 0.0, times: int = 1) -> About:
    stretches = tuple((remark(at_s + 10 * time),) for time in range(times))
    return About(Draft(kind, stretches, 1.0))


def remark(at_s: float) -> Remark:
    words = ("the", "foot", "slides")
    return Remark(0, 0, 3, at_s, at_s + 1, False, " ".join(words), "fault", (), (), (), (), words, ())


def label(strength: Strength | None, category: str = "contact") -> Labels:
    return Labels(category, 0.9, (), "moment", strength, None, None, (), None)  # type: ignore[arg-type]


def test_what_the_mentor_stressed_comes_first() -> None:
    order, top = ranked([note("fix"), note("fix")], [label("should"), label("must")], CATEGORIES)
    assert [item.place for item in order] == [1, 0]
    assert top == [1, 0]


def test_what_to_keep_and_what_is_optional_never_leads() -> None:
    notes = [note("keep"), note("fix"), note("fix")]
    order, top = ranked(notes, [label(None), label("could"), label("should")], CATEGORIES)
    assert top == [2]
    assert [item.place for item in order] == [2, 1, 0]


def test_equal_notes_stay_in_the_order_they_were_said() -> None:
    order, _ = ranked([note("fix"), note("fix"), note("fix")], [label("should")] * 3, CATEGORIES)
    assert [item.place for item in order] == [0, 1, 2]


def test_every_fix_says_why_it_stands_there() -> None:
    told = reasons(note("fix", times=3), label("must"), CATEGORIES)
    assert told[0] == "the mentor stressed it"
    assert "raised 3 times" in told
    assert any(reason.startswith("order of work") for reason in told)
