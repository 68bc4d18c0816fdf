"""A slip in the form is told with its line and what to do, and nothing of it is taken in."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_critique import critique, note, sheet_of

from critsheet.form.reading import FormError
from critsheet.form.taking import corrected
from critsheet.form.writing import first_line, to_text

NOW = "2026-02-03T10:00:00Z"
PLAN = "- [ ] n6: Film yourself landing."


def refused(text: str) -> list[tuple[int, str]]:
    with pytest.raises(FormError) as caught:
        corrected(text, critique(), NOW)
    return [(problem.line, problem.what) for problem in caught.value.problems]


def line_of(text: str, words: str) -> int:
    return next(number for number, line in enumerate(text.split("\n"), 1) if words in line)


@pytest.mark.parametrize(
    ("old", "new", "at", "says"),
    [
        ("- [ ] n2: Delay", "- [ ] Delay", "Delay", "n2 is missing: if this is it, put “n2:” before its words"),
        ("- [ ] n2: Delay", "- [ ] n1: Delay", "n1: Delay", "n1 stands twice, also in line"),
        ("- [ ] n2: Delay", "- [ ] n2 + n2: Delay", "n2 + n2", "n2 stands twice"),
        ("- [ ] n2: Delay", "- [ ] n2 + n4: Delay", "n4: Keep the pause", "n4 stands twice"),
        ("- [ ] n2: Delay", "- [ ] n12: Delay", "n12: Delay", "there is no note n12"),
        ("- [ ] n2: Delay the head two frames.", "- [ ] n2:", "n2:", "needs words"),
        ("category: overlap", "category: overlaps", "overlaps", "“overlaps” is none of acting, staging"),
        ("category: overlap", "categories: overlap", "categories", "“category:”"),
        ("  - category: overlap\n", "", "n2: Delay", "has no category"),
        ("body: head, chest", "body: head, tummy", "tummy", "“tummy” is none of eyes, lids"),
        ("body: head, chest", "place: left", "place: left", "start, middle, end"),
        ("body: head, chest", "body: head\n  - body: chest", "body: chest", "stands twice, also in line"),
        ("scope: shot", "scope: film", "scope: film", "moment, shot, habit"),
        ("scope: shot", "asked before: yes", "asked before", "resolved, repeated"),
        ("frames: 150", "frames: 15", "frames: 15", "outside the shot, frames 101–188"),
        ("frames: 150", "frames: 150-189", "frames: 150", "outside the shot"),
        ("frames: 150", "frames: 160-150", "frames: 160", "backwards"),
        ("frames: 150", "frames: early", "frames: early", "write 42, 130-138 or about 150"),
        ("frames: 150", "frames: 999999999", "frames: 9", "is no frame"),
        ("said 1:15", "said 1:15:15", "1:15:15", "after the end of the recording, 10:00"),
        ("said 1:15: The lamp goes through her hand at 150.", "said 4:00", "4:00", "nothing was said at 4:00"),
        ("## Then", "## Later", "## Later", "there is no heading “Later”"),
        ("## Then", "Then:", "Then:", "neither a note"),
        ("## Then", "## Left out\n\n- [ ] Open the eyes.\n  - category: eyes", "Open the eyes", "never on the sheet"),
        ("## Then", "- [ ] from n1 + n2: Open the eyes.", "from n1", "split off one other"),
        ("## Do first", "", "n1: Plant", "a note stands under a heading"),
        ("## Then", "## Then\n  - body: head", "## Then", "belongs under a note"),
    ],
)  # fmt: skip
def test_a_slip_is_told_with_its_line(old: str, new: str, at: str, says: str) -> None:
    text = to_text(critique())
    place = text.index(old, text.index("-->\n\n"))
    text = text[:place] + new + text[place + len(old) :]
    head = text.index("-->\n\n")
    lines = text[:head].count("\n") + line_of(text[head:], at)
    problems = refused(text)
    near = range(lines, lines + 2) if at == "## Then" else (lines,)
    assert any(line in near and says in what for line, what in problems), problems


def test_a_note_that_is_gone_is_told_where_it_stood() -> None:
    text = to_text(critique())
    start, end = text.index("\n- [ ] n2:"), text.index("\n## Then")
    problems = refused(text[:start] + text[end:])
    assert problems == [
        (line_of(text, "said 3:20"), "n2 is missing below: put “n2:” back, or move the note under “Left out”.")
    ]


def test_all_slips_are_told_at_once_in_order() -> None:
    text = to_text(critique()).replace("frames: 150", "frames: soon").replace("category: overlap", "category: swing")
    assert [line for line, _ in refused(text)] == [line_of(text, "swing"), line_of(text, "soon")]


def test_a_plan_behind_the_first_three_is_told_with_its_line() -> None:
    text = to_text(critique())
    plan = text[text.index(PLAN) : text.index("\n## Left out")]
    text = text.replace(plan, "").replace("\n## Then\n", f"- [ ] Open the eyes.\n  - category: eyes\n{plan}\n## Then\n")
    assert refused(text) == [(line_of(text, PLAN), "n6 is a plan: it can be one of the first 3, or stand under Plan.")]


def test_an_empty_form_takes_nothing() -> None:
    assert refused(" \n\n") == [(1, "the form is empty; nothing is taken from it.")]


def test_a_form_without_its_first_line_is_refused() -> None:
    text = to_text(critique())
    assert "put it back as the first one" in refused(text.partition("\n")[2])[0][1]


def test_a_form_of_another_sheet_is_refused() -> None:
    other = critique().model_copy(update={"id": "sffffffffffff"})
    assert refused(to_text(other)) == [(1, "this form is of another sheet.")]


def test_a_form_made_before_the_sheet_was_changed_would_undo_that_and_is_refused() -> None:
    old = sheet_of((note(0, "fix", "contact", "Plant the feet."),))
    assert "the sheet was changed after this form was made" in refused(to_text(old))[0][1]


def test_a_head_without_an_end_is_told() -> None:
    text = to_text(critique())
    assert refused(text.replace("Tick:       [x] is done, [ ] is not.\n-->", ""))[0][0] == 2


@settings(deadline=None)
@given(st.lists(st.text("-*+#[]xn12:,. \nsaidfrom<>!", max_size=12), max_size=12), st.integers(0, 60))
def test_whatever_is_typed_is_taken_in_or_told_but_never_a_crash(pieces: list[str], at: int) -> None:
    lines = to_text(critique()).split("\n")
    lines[at:at] = "".join(pieces).split("\n")
    try:
        corrected("\n".join(lines), critique(), NOW)
    except FormError as error:
        assert all(1 <= problem.line <= len(lines) and problem.what for problem in error.problems)


@settings(deadline=None)
@given(st.text(max_size=300))
def test_any_text_under_the_first_line_is_taken_in_or_told(text: str) -> None:
    with pytest.raises(FormError):
        corrected(f"{first_line(critique())}\n{text}", critique(), NOW)
