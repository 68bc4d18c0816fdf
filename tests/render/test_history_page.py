"""The history of a shot on its page: every submission, every note, and nothing but text from people."""

import dataclasses
import html
import re
from pathlib import Path
from typing import Any

import pytest

from critsheet import resources
from critsheet.history import NoteHistory, ShotHistory, Step
from critsheet.labels import Done
from critsheet.render.history import Cell, Group, HistoryPage, Row, history_page, summary, to_history_page
from critsheet.render.texts import english
from critsheet.sheet import Note, Recording, Review, Sheet, Transcript

HOSTILE = '<script>alert(1)</script> "><img onerror=x> {{7*7}} \u202egnp'


def sheet(number: int | None, **more: Any) -> Sheet:
    recording = Recording(file="talk.wav", sha256="0" * 64, duration=1)
    return Sheet(
        id=f"s{number}",
        made=f"2026-01-0{number or 9}T10:00:00Z",
        review=Review(title=more.pop("title", "Lift"), mentor="Mara", submission=number, recording=recording),
        transcript=Transcript(language="en", segments=()),
        notes=(),
        **more,
    )


def note(action: str, **more: Any) -> Note:
    return Note(id="n1", kind="fix", category="arcs", moments=(), action=action, rank=1, **more)


def told(action: str = "Plant the foot.", comment: str = "at 42") -> ShotHistory:
    done = Done(at="2026-01-02T09:00:00Z", comment=comment)
    stubborn = NoteHistory(
        action,
        (
            Step("new", note(action, subject="Osk", body=("foot",)), done),
            Step("repeated", note(action, subject="Osk", body=("foot",))),
            Step("not mentioned", None),
        ),
    )
    solved = NoteHistory(
        "Blink.", (None, Step("new", note("Blink.")), Step("resolved", None, doubt="something else may be meant"))
    )
    plan = NoteHistory("Film yourself.", (Step("new", note("Film yourself.")), None, None))
    return ShotHistory((sheet(1), sheet(2), sheet(None)), (solved, stubborn, plan))


def test_open_notes_stand_first_then_solved_ones_then_plans() -> None:
    page = history_page(told(), english())
    assert [group.key for group in page.groups] == ["open", "solved", "passed"]
    assert page.summary == "One note is still open. One is solved."
    assert [column.title for column in page.columns] == ["Submission 1", "Submission 2", "Sheet 3"]


def test_a_row_tells_each_submission_with_the_students_tick_and_what_is_unsure() -> None:
    groups = history_page(told(), english()).groups
    row = groups[0].rows[0]
    assert row.facts == ("Osk", "foot")
    assert [cell.text for cell in row.cells] == ["asked for", "asked again", "not spoken of"]
    assert (row.cells[0].ticked, row.cells[0].comment) == ("ticked off, 2026-01-02", "at 42")
    assert [cell.key for cell in groups[1].rows[0].cells] == ["", "new", "resolved"]
    assert groups[1].rows[0].cells[2].doubt == "something else may be meant"


def test_what_was_asked_for_most_often_leads_the_open_notes() -> None:
    once = NoteHistory("Blink.", (Step("new", note("Blink.")), Step("not mentioned", None)))
    twice = NoteHistory("Plant it.", (Step("new", note("Plant it.")), Step("repeated", note("Plant it."))))
    rows = history_page(ShotHistory((sheet(1), sheet(2)), (once, twice)), english()).groups[0].rows
    assert [row.action for row in rows] == ["Plant it.", "Blink."]


def test_a_shot_without_notes_has_a_page_too() -> None:
    page = to_history_page(ShotHistory((sheet(1),), ()))
    assert "nothing was to be done" in page
    assert "<table" not in page


def test_text_from_people_stays_text() -> None:
    history = told(HOSTILE, HOSTILE)
    page = to_history_page(ShotHistory((*history.sheets[:2], sheet(3, title=HOSTILE)), history.notes))
    assert "<script" not in page
    assert "<img" not in page
    assert "\u202e" not in page
    assert "{{7*7}}" in page


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    page = html.unescape(to_history_page(told()))
    assert "default-src 'none'; style-src 'sha256-" in page
    assert not re.search(r"(?:src|href)=|http|style=|\bon\w+=", page.split("</style>")[1])


def test_the_page_can_be_in_another_language() -> None:
    german = sheet(3, language="de")
    page = to_history_page(ShotHistory((*told().sheets[:2], german), told().notes))
    assert '<html lang="de">' in page
    assert "wieder verlangt" in page
    assert "vielleicht ist etwas anderes gemeint" in page


def test_the_template_uses_every_field_of_its_context() -> None:
    folder = resources.folder("templates")
    template = (folder / "history.html").read_text()
    template += "".join((folder / part).read_text() for part in re.findall(r'{% include "(.*?)" %}', template))
    for kind, name in ((HistoryPage, "page"), (Group, "group"), (Row, "row"), (Cell, "cell")):
        named = set(re.findall(rf"\b{name}\.(\w+)", template))
        assert named == {field.name for field in dataclasses.fields(kind)}, name


def test_a_school_lays_its_own_template_over_it(tmp_path: Path) -> None:
    (tmp_path / "history.html").write_text("<title>{{ page.title }} at our school</title>")
    assert to_history_page(told(), tmp_path) == "<title>Lift at our school</title>"


@pytest.mark.parametrize("n_open", [0, 1, 3])
def test_the_summary_counts_in_whole_sentences(n_open: int) -> None:
    notes = tuple(NoteHistory("Blink.", (Step("new", None),)) for _ in range(n_open))
    solved = NoteHistory("Plant it.", (Step("resolved", None),))
    said = summary(ShotHistory((sheet(1),), (*notes, solved)), english())
    assert (
        said
        == {
            0: "Nothing is open any more. One is solved.",
            1: "One note is still open. One is solved.",
            3: "3 notes are still open. One is solved.",
        }[n_open]
    )
