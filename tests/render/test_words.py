"""What every format of the sheet agrees on: order, times, frames, and text that is safe to show."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_sheet import NOTES

from critsheet.render import words
from critsheet.sheet import FrameRange, Sheet


def test_a_minute_and_a_half_reads_as_on_a_player() -> None:
    assert [words.clock(at) for at in (0, 9.99, 92.4, 3599.9, 3661)] == [
        "0:00",
        "0:09",
        "1:32",
        "59:59",
        "1:01:01",
    ]


def test_frames_read_as_a_mentor_says_them() -> None:
    one, span = FrameRange(first=42, last=42), FrameRange(first=60, last=64, confidence=0.5)
    assert words.frames([]) == ""
    assert words.frames([one]) == "frame 42"
    assert words.frames([span]) == "about frames 60–64"
    assert words.frames([one, span]) == "frames 42 and about 60–64"


def test_frames_say_how_they_are_known() -> None:
    said, shown = FrameRange(first=42, last=42), FrameRange(first=142, last=149, source="shown", confidence=0.92)
    assert words.frames([said, shown]) == "frame 42, frames 142–149 (shown on screen)"
    rough = shown.model_copy(update={"confidence": 0.4})
    assert words.frames([rough]) == "about frames 142–149 (shown on screen)"
    assert words.frames([shown.model_copy(update={"source": "logged"})]).endswith("(from the playhead log)")
    placed = FrameRange(first=167, last=188, source="placed", confidence=0.4)
    assert words.frames([placed]) == "about frames 167–188 (by its place)"


def test_a_note_says_that_the_whole_shot_ran_meanwhile() -> None:
    said = "said while the whole shot ran"
    assert said in words.facts(NOTES[2].model_copy(update={"looped": True}))
    assert said not in words.facts(NOTES[2])


def test_what_the_mentor_wants_first_comes_first_in_the_mentors_order(sheet: Sheet) -> None:
    turned = sheet.model_copy(update={"top": ("n2", "n1")})
    first = words.grouped(turned)[0]
    assert [entry.note.id for entry in first.notes] == ["n2", "n1"]


def test_every_note_stands_in_one_group_under_a_running_number(sheet: Sheet) -> None:
    groups = words.grouped(sheet)
    assert [group.title for group in groups] == ["Do first", "Then", "If there is time", "Keep", "Plan"]
    numbers = [entry.number for group in groups for entry in group.notes]
    assert numbers == list(range(1, len(NOTES) + 1))


def test_a_group_without_notes_is_left_out(sheet: Sheet) -> None:
    only = sheet.model_copy(update={"notes": NOTES[4:5], "top": ()})
    assert [group.key for group in words.grouped(only)] == [words.KEEP]


def test_a_stressed_note_is_done_first_even_below_the_top_three(sheet: Sheet) -> None:
    must = NOTES[2].model_copy(update={"strength": "must"})
    changed = sheet.model_copy(update={"notes": (*NOTES[:2], must, *NOTES[3:])})
    assert [entry.note.id for entry in words.grouped(changed)[0].notes] == ["n1", "n2", "n3"]


@pytest.mark.parametrize("hidden", ["\x1b[31m", "\x00", "\u202e", "\u2066", "\x9b", "\r", "\u2028", "\ud800"])
def test_nothing_hidden_in_the_words_reaches_a_reader(hidden: str) -> None:
    assert hidden not in words.plain(f"a{hidden}b")


@settings(deadline=None)
@given(st.text())
def test_plain_text_is_one_line_and_stays_as_it_is(text: str) -> None:
    plain = words.plain(text)
    assert len(plain.splitlines()) <= 1
    assert words.plain(plain) == plain
