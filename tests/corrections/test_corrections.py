"""What a mentor does to a sheet: each correction does what it says, and loses nothing that was said."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_critique import FIRST, LAST, critique, frame, lines_of, moment, plain_words, sheets, words

from critsheet import corrections
from critsheet.earlier import Earlier
from critsheet.errors import InputError
from critsheet.labels import CHOICES
from critsheet.notes.priority import TOP
from critsheet.sheet import Done, Note, Sheet, Still


def moments(sheet: Sheet) -> set[tuple[float, float]]:
    return {(each.start, each.end) for one in corrections.every_note(sheet) for each in one.moments}


def get(sheet: Sheet, note_id: str) -> Note:
    return corrections.note_of(sheet, note_id)


def test_new_words_are_marked_as_the_mentors() -> None:
    note = get(corrections.reword(critique(), "n2", "Let the head\n come last."), "n2")
    assert (note.action, note.edited, note.by_hand) == ("Let the head come last.", True, ("action",))


def test_words_that_are_as_they_were_are_not() -> None:
    assert corrections.reword(critique(), "n2", "Delay the head two frames.") == critique()


def test_labels_are_set_and_taken_away() -> None:
    sheet = corrections.relabel(critique(), "n1", category="weight", also=("weight", "contact"), subject=None)
    note = get(sheet, "n1")
    assert (note.category, note.also, note.subject, note.edited) == ("weight", ("contact",), None, False)
    assert note.by_hand == ("category", "also", "subject")


@pytest.mark.parametrize(
    ("name", "value"), [("category", "feet"), ("body", ("foot", "paw")), ("place", "left"), ("scope", "film")]
)
def test_a_label_that_does_not_exist_is_refused_with_those_that_do(name: str, value: object) -> None:
    with pytest.raises(InputError, match=f"{CHOICES[name][0]}, "):
        corrections.relabel(critique(), "n1", **{name: value})


def test_frames_that_stay_keep_how_they_are_known_and_new_ones_are_set_by_hand() -> None:
    note = get(corrections.set_frames(critique(), "n1", [(160, 160, True), (140, 144, False)]), "n1")
    assert note.frames[0] == frame(160, 0.6)
    assert (note.frames[1].source, note.frames[1].confidence) == ("by hand", 1.0)


def test_clean_pictures_of_frames_that_were_wrong_go_and_the_mentors_screen_stays() -> None:
    stills = tuple(
        Still(file=f"stills/n3-1-{kind}.webp", kind=kind, frames=(150,), width=9, height=9)  # type: ignore[arg-type]
        for kind in ("screen", "frame", "strip")
    )
    sheet = critique()
    notes = tuple(one.model_copy(update={"stills": stills}) if one.id == "n3" else one for one in sheet.notes)
    corrected = corrections.set_frames(sheet.model_copy(update={"notes": notes}), "n3", [(120, 120, False)])
    assert [still.kind for still in get(corrected, "n3").stills] == ["screen"]


@pytest.mark.parametrize("span", [(FIRST - 1, FIRST), (LAST, LAST + 1), (900, 900), (140, 130)])
def test_frames_outside_the_shot_or_backwards_are_refused(span: tuple[int, int]) -> None:
    with pytest.raises(InputError, match=r"101–188|backwards"):
        corrections.set_frames(critique(), "n1", [(*span, False)])


def test_merged_notes_share_all_that_was_said_and_seen() -> None:
    sheet = corrections.merge(critique(), "n2", ["n1"])
    note = get(sheet, "n2")
    assert [each.start for each in note.moments] == [12.0, 40.0, 200.0]
    assert (note.category, note.also, note.body) == ("overlap", ("contact",), ("head", "chest", "foot"))
    assert [one.first for one in note.frames] == [131, 160]
    assert note.reasons == ("raised 3 times",)
    assert "n1" not in [one.id for one in sheet.notes]
    assert sheet.top == ("n2",)


def test_a_merged_note_is_done_only_where_all_of_it_is() -> None:
    done = Done(at="2026-02-01T09:00:00Z", comment="Moved to 128.")
    half = corrections.tick(critique(), "n1", done)
    note = get(corrections.merge(half, "n2", ["n1"]), "n2")
    assert note.done is None
    assert "ticked in part: “Moved to 128.”" in note.doubts
    whole = corrections.tick(half, "n2", Done(at="2026-02-02T09:00:00Z"))
    assert get(corrections.merge(whole, "n2", ["n1"]), "n2").done == Done(
        at="2026-02-02T09:00:00Z", comment="Moved to 128."
    )


def test_what_an_earlier_note_led_to_follows_a_merge_and_forgets_what_is_left_out() -> None:
    earlier = Earlier(note="n1", action="Plant the feet.", category="contact", outcome="repeated")
    sheet = critique().model_copy(update={"earlier": (earlier,)})
    assert corrections.merge(sheet, "n2", ["n1"]).earlier[0].note == "n2"
    assert corrections.leave_out(sheet, "n1").earlier[0].note is None


def test_a_note_is_split_and_its_words_are_shared_out() -> None:
    sheet, second = corrections.split(critique(), "n1", "Plant the second landing too.")
    assert second == "n7"
    assert get(sheet, second).moments == get(sheet, "n1").moments
    sheet = corrections.hold(sheet, {"n1": [moment(0)], second: [moment(4)]})
    assert [each.start for each in get(sheet, "n1").moments] == [12.0]
    assert [each.start for each in get(sheet, second).moments] == [200.0]
    assert not sheet.left_out


def test_words_that_no_note_holds_any_more_are_left_out_as_a_note_of_their_own() -> None:
    sheet = corrections.hold(critique(), {"n1": [moment(0)]})
    assert [one.moments for one in sheet.left_out] == [(moment(4),)]
    assert moments(sheet) == moments(critique())


def test_a_note_left_out_can_be_brought_back() -> None:
    gone = corrections.leave_out(critique(), "n1")
    assert "n1" not in gone.top
    assert "n1" not in [one.id for one in gone.notes]
    back = corrections.bring_back(gone, "n1")
    assert back.notes[-1].moments == critique().notes[0].moments
    assert corrections.leave_out(gone, "n1") == gone
    assert corrections.bring_back(back, "n1") == back


def test_ids_are_never_used_again() -> None:
    for gone in (corrections.leave_out(critique(), "n6"), corrections.merge(critique(), "n1", ["n6"])):
        sheet, new = corrections.add(gone, "Turn off the ghost lamp.", "fix", "staging")
        assert new == "n7"
        assert get(sheet, new).edited


@pytest.mark.parametrize("text", ["", " \n\t", "x" * 2001])
def test_a_note_needs_words_but_not_a_book(text: str) -> None:
    for correct in (
        lambda: corrections.reword(critique(), "n1", text),
        lambda: corrections.add(critique(), text, "fix", "arcs"),
        lambda: corrections.split(critique(), "n1", text),
    ):
        with pytest.raises(InputError, match=r"needs words|at most 2000"):
            correct()


@pytest.mark.parametrize(
    "correct",
    [
        lambda sheet: corrections.reword(sheet, "n99", "Go."),
        lambda sheet: corrections.merge(sheet, "n1", ["n99"]),
        lambda sheet: corrections.merge(sheet, "n1", ["n1"]),
        lambda sheet: corrections.leave_out(sheet, "n99"),
        lambda sheet: corrections.add(sheet, "Go.", "fix", "feet"),
        lambda sheet: corrections.arrange(sheet, {"first": ["n1"]}),
    ],
)
def test_a_correction_of_what_is_not_there_is_refused(correct: Callable[[Sheet], object]) -> None:
    with pytest.raises(InputError):
        correct(critique())


@pytest.mark.parametrize(
    ("group", "kind", "strength"),
    [("first", "fix", "must"), ("then", "fix", "should"), ("time", "fix", "could"), ("plan", "plan", "should")],
)
def test_a_note_becomes_what_the_group_says_that_it_is_moved_to(group: str, kind: str, strength: str) -> None:
    groups = corrections.order(critique())
    groups["keep"].remove("n4")
    groups[group].append("n4")
    note = get(corrections.arrange(critique(), groups), "n4")
    assert (note.kind, note.strength) == (kind, strength)
    assert note.reasons == ("the mentor put it here",)


def test_the_first_three_lead_and_a_fourth_is_still_to_be_done_first() -> None:
    groups = {"first": ["n3", "n6", "n2", "n1"], "keep": ["n4"]}
    sheet = corrections.arrange(critique(), groups)
    assert sheet.top == ("n3", "n6", "n2")
    assert (get(sheet, "n1").strength, get(sheet, "n6").kind) == ("must", "plan")
    assert corrections.order(sheet)["first"] == ["n3", "n6", "n2", "n1"]


def test_a_plan_cannot_stand_behind_the_first_three() -> None:
    with pytest.raises(InputError, match="n6 is a plan"):
        corrections.arrange(critique(), {"first": ["n3", "n1", "n2", "n6"], "keep": ["n4"]})


def test_as_many_notes_lead_as_the_program_lets_lead() -> None:
    assert corrections.LEADING == TOP


@settings(deadline=None)
@given(sheets(), st.data())
def test_every_form_of_the_sheet_shows_the_order_that_the_mentor_gave(sheet: Sheet, data: st.DataObject) -> None:
    ids = data.draw(st.permutations([one.id for one in sheet.notes]))
    groups: dict[str, list[str]] = {key: [] for key in corrections.order(sheet)}
    for note_id in ids:
        groups[data.draw(st.sampled_from(list(groups)))].append(note_id)
    plans = [one for one in groups["first"][corrections.LEADING :] if get(sheet, one).kind == "plan"]
    groups["first"] = [one for one in groups["first"] if one not in plans]
    groups["plan"] += plans
    arranged = corrections.arrange(sheet, groups)
    assert corrections.order(arranged) == groups
    assert corrections.arrange(arranged, groups) == arranged
    assert [one.rank for one in arranged.notes] == sorted(one.rank for one in arranged.notes)


def _any_correction(sheet: Sheet, data: st.DataObject) -> Sheet:  # noqa: PLR0911 - one a correction
    ids = [one.id for one in corrections.every_note(sheet)]
    one, other = data.draw(st.sampled_from(ids)), data.draw(st.sampled_from(ids))
    match data.draw(st.sampled_from(["reword", "relabel", "frames", "add", "split", "merge", "hold", "out", "in"])):
        case "reword":
            return corrections.reword(sheet, one, data.draw(plain_words))
        case "relabel":
            return corrections.relabel(sheet, one, category="arcs", subject=data.draw(st.none() | plain_words))
        case "frames":
            return corrections.set_frames(sheet, one, [(120, 130, data.draw(st.booleans()))])
        case "add":
            return corrections.add(sheet, data.draw(plain_words), "keep", "arcs")[0]
        case "split":
            return corrections.split(sheet, one, data.draw(plain_words))[0]
        case "merge":
            return corrections.merge(sheet, one, [other]) if one != other else sheet
        case "hold":
            mine = corrections.note_of(sheet, one).moments
            return corrections.hold(sheet, {one: data.draw(st.lists(st.sampled_from(mine))) if mine else []})
        case "out":
            return corrections.leave_out(sheet, one)
        case _:
            return corrections.bring_back(sheet, one)


@settings(deadline=None)
@given(sheets().filter(lambda sheet: bool(corrections.every_note(sheet))), st.data())
def test_no_correction_loses_anything_that_was_said(sheet: Sheet, data: st.DataObject) -> None:
    corrected = sheet
    for _ in range(data.draw(st.integers(1, 6))):
        corrected = _any_correction(corrected, data)
    assert moments(corrected) == moments(sheet)
    # Still a whole sheet: ids agree, labels are known, what leads exists.
    assert Sheet.model_validate(corrected.model_dump(by_alias=True)) == corrected


@settings(deadline=None)
@given(words)
def test_any_words_that_are_taken_fit_on_one_line(text: str) -> None:
    try:
        sheet = corrections.reword(critique(), "n1", text)
    except InputError:
        return
    assert "\n" not in get(sheet, "n1").action
    assert lines_of(sheet)[0].startswith("first n1: ")
