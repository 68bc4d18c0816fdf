"""The same recording, made into a sheet again: what people did with the first one stays, what is new comes to it."""

from hypothesis import given, settings
from hypothesis import strategies as st
from invented_critique import critique, frame, lines_of, moment, note, sheets

from critsheet import corrections
from critsheet.made_again import is_worked_on, keep
from critsheet.sheet import Done, Note, Sheet

FOUND = critique().notes


def again(old: Sheet, found: tuple[Note, ...] = FOUND) -> Sheet:
    kept = keep(old, found)
    return old.model_copy(update={"notes": kept.notes, "top": kept.top, "left_out": kept.left_out})


def get(sheet: Sheet, note_id: str) -> Note:
    return corrections.note_of(sheet, note_id)


def renumbered(notes: tuple[Note, ...]) -> tuple[Note, ...]:
    """The same notes, heard a little differently, counted and worded otherwise by another version."""
    changed = []
    for place, each in enumerate(reversed(notes), start=1):
        moments = tuple(m.model_copy(update={"start": m.start + 0.4, "end": m.end + 0.7}) for m in each.moments)
        update = {"id": f"n{place}", "rank": place, "moments": moments, "action": f"{each.action} (2)"}
        changed.append(each.model_copy(update=update))
    return tuple(changed)


def test_nobody_worked_on_a_fresh_sheet() -> None:
    assert not is_worked_on(critique())
    assert is_worked_on(corrections.tick(critique(), "n1", Done(at="2026-02-01")))
    assert is_worked_on(critique().model_copy(update={"corrected": "2026-02-01"}))


def test_a_corrected_wording_stays_and_the_rest_of_the_note_is_made_new() -> None:
    old = corrections.reword(critique(), "n2", "Head last.")
    found = tuple(one.model_copy(update={"frames": (frame(140),)}) if one.id == "n2" else one for one in FOUND)
    kept = get(again(old, found), "n2")
    assert (kept.action, kept.edited, kept.frames) == ("Head last.", True, (frame(140),))


def test_corrected_labels_and_frames_stay() -> None:
    old = corrections.relabel(critique(), "n2", category="spacing", body=("head",), doubts=())
    old = corrections.set_frames(old, "n2", [(144, 144, False)])
    found = tuple(one.model_copy(update={"frames": (frame(140),), "also": ("spacing",)}) for one in FOUND)
    kept = get(again(old, found), "n2")
    assert (kept.category, kept.also, kept.body, kept.doubts) == ("spacing", (), ("head",), ())
    assert [one.first for one in kept.frames] == [144]


def test_a_note_that_nobody_touched_is_made_new_under_its_old_id() -> None:
    old = corrections.reword(critique(), "n2", "Head last.")
    sheet = again(old, renumbered(FOUND))
    assert lines_of(sheet) == [
        line.replace("Delay the head two frames.", "Head last.") + ("" if " n2:" in line else " (2)")
        for line in lines_of(critique())
    ]
    assert get(sheet, "n1").moments[0].start == 12.4


def test_what_was_left_out_stays_away() -> None:
    old = corrections.leave_out(critique(), "n3")
    sheet = again(old, renumbered(FOUND))
    assert "lamp" not in str(lines_of(sheet))
    assert [one.id for one in sheet.left_out] == ["n3"]


def test_words_that_were_taken_off_a_note_stay_away() -> None:
    old = corrections.hold(critique(), {"n1": [moment(0)]})
    apart = (*FOUND[1:], FOUND[0].model_copy(update={"moments": (moment(0),)}), note(4, "fix", "contact", "Plant it."))
    assert lines_of(again(old, apart)) == lines_of(critique())


def test_merged_notes_stay_one_and_learn_what_was_seen() -> None:
    old = corrections.merge(critique(), "n2", ["n1"])
    found = (FOUND[0].model_copy(update={"frames": (frame(131),)}), *FOUND[1:])
    sheet = again(old, found)
    assert lines_of(sheet) == lines_of(old)
    assert [one.first for one in get(sheet, "n2").frames] == [131]
    assert len(get(sheet, "n2").moments) == 3


def test_split_notes_stay_two() -> None:
    old, second = corrections.split(critique(), "n1", "Plant the second landing.")
    for shared in (old, corrections.hold(old, {"n1": [moment(0)], second: [moment(4)]})):
        assert lines_of(again(shared, renumbered(FOUND)))[:2] == [
            line if "n1:" in line else f"{line} (2)" for line in lines_of(old)[:2]
        ]
        assert get(again(shared), second).action == "Plant the second landing."


def test_added_notes_and_the_order_stay() -> None:
    old, new = corrections.add(critique(), "Open the left eye.", "fix", "eyes")
    old = corrections.arrange(old, {"first": [new, "n3", "n2"], "time": ["n1"], "keep": ["n4"], "plan": ["n6"]})
    assert lines_of(again(old)) == lines_of(old)
    assert again(old).top == (new, "n3", "n2")


def test_a_note_found_for_the_first_time_comes_last_with_a_new_id() -> None:
    old = corrections.leave_out(corrections.reword(critique(), "n2", "Head last."), "n6")
    new = note(
        0, "fix", "eyes", "Open the left eye.", moments=(moment(4).model_copy(update={"start": 400, "end": 404}),)
    )
    sheet = again(old, (new, *FOUND[1:]))
    assert lines_of(sheet)[:3] == [*lines_of(old)[:2], "then n7: Open the left eye."]
    assert get(sheet, "n1").action == "Plant the feet at 131 and 160."


def test_ticks_stay_with_the_notes_they_were_made_for() -> None:
    done = Done(at="2026-02-01T09:00:00Z", comment="Moved to 128.")
    sheet = again(corrections.tick(critique(), "n3", done), renumbered(FOUND))
    assert [(one.id, one.done) for one in sheet.notes if one.done] == [("n3", done)]
    assert get(sheet, "n3").action.startswith("Keep the lamp out of the hand.")


def test_a_note_that_is_not_found_any_more_stays_as_the_mentor_saw_it() -> None:
    old = corrections.reword(critique(), "n2", "Head last.")
    assert lines_of(again(old, ())) == lines_of(old)


@settings(deadline=None)
@given(sheets())
def test_made_again_from_the_same_finds_a_corrected_sheet_stays_as_it_is(sheet: Sheet) -> None:
    found = tuple(one for one in sheet.notes if one.moments)
    once = again(sheet, found)
    assert lines_of(once) == lines_of(sheet)
    assert again(once, found) == once


@settings(deadline=None)
@given(sheets(), sheets(), st.data())
def test_nothing_that_people_set_is_lost_whatever_is_found(sheet: Sheet, other: Sheet, data: st.DataObject) -> None:
    old = sheet
    for one in sheet.notes:
        if data.draw(st.booleans()):
            old = corrections.relabel(corrections.reword(old, one.id, "Mine."), one.id, category="arcs")
    new = again(old, other.notes)
    for one in old.notes:
        kept = get(new, one.id)
        assert kept.done == one.done
        if one.edited:
            assert (kept.action, kept.category, kept.by_hand) == ("Mine.", "arcs", one.by_hand)
    assert {one.id for one in new.left_out} == {one.id for one in old.left_out}
    assert len({one.id for one in corrections.every_note(new)}) == len(corrections.every_note(new))
