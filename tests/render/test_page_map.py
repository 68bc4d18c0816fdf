"""The map: where in the shot and where in the talk each note is."""

from collections.abc import Mapping
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_sheet import NOTES

from critsheet.render import strips, words
from critsheet.render.drawings import Strip, Time
from critsheet.render.page import to_html
from critsheet.render.recording import RecordingLink
from critsheet.render.texts import english
from critsheet.screen import OnScreen, ScreenRun
from critsheet.sheet import FrameRange, Note, Sheet, Shot
from critsheet.vocabulary import CategoryEntry

Categories = Mapping[str, CategoryEntry]


def at(*spans: tuple[int, int], place: int = 1, **update: object) -> Note:
    """A note about these frames."""
    frames = tuple(FrameRange(first=first, last=last) for first, last in spans)
    return NOTES[0].model_copy(update={"id": f"m{place}", "rank": place, "frames": frames, **update})


def drawn(sheet: Sheet, *notes: Note) -> Strip | None:
    changed = sheet.model_copy(update={"notes": notes, "top": ()})
    return strips.shot_strip(changed, words.grouped(changed), english())


def test_frames_run_down_the_page_from_the_first_to_the_last(sheet: Sheet) -> None:
    strip = drawn(sheet, at((101, 101)), at((188, 188), place=2))
    assert strip
    top, end = strip.brackets
    assert top.y == strip.rules[0].y
    assert [rule.label for rule in strip.rules if rule.label][:2] == ["101", "105"]
    assert strip.rules[-1].label == "188"
    assert end.y == strip.rules[-1].y


def test_a_note_is_bracketed_at_each_of_its_frames_and_says_so_in_words(sheet: Sheet) -> None:
    strip = drawn(sheet, at((130, 138), (151, 151)))
    assert strip
    assert [(one.number, one.note) for one in strip.brackets] == [(1, "m1"), (1, "m1")]
    assert [one.text.split(":")[0] for one in strip.brackets] == ["Note 1, frames 130–138", "Note 1, frame 151"]
    frame = strip.rules[1].y - strip.rules[0].y
    assert strip.brackets[0].height == pytest.approx(9 * frame, abs=0.5)


def test_notes_at_the_same_frames_stand_side_by_side(sheet: Sheet) -> None:
    strip = drawn(sheet, *(at((130, 138), place=place) for place in range(1, 6)))
    assert strip
    assert len({one.x for one in strip.brackets}) == 5


spans = st.tuples(st.integers(101, 188), st.integers(0, 40)).map(lambda span: (span[0], min(188, span[0] + span[1])))


@settings(deadline=None)
@given(st.lists(spans, min_size=1, max_size=40))
def test_no_two_brackets_lie_on_each_other(found: list[tuple[int, int]]) -> None:
    marks = [strips.Mark(a, b + 1, "todo", False, n, f"m{n}", "") for n, (a, b) in enumerate(found, 1)]
    scale = strips.Scale(101, 189, 6.0)
    brackets, _ = strips._placed(marks, scale, 40.0)
    assert len(brackets) == len(found)
    for one, two in combinations(brackets, 2):
        lines_apart = one.y + one.height <= two.y or two.y + two.height <= one.y
        assert one.x != two.x or (lines_apart and abs(one.centre - two.centre) >= strips.LEAST / 2)


def test_looks_tell_kinds_apart_without_colour(sheet: Sheet) -> None:
    kinds = (
        at((110, 111), strength="must"),
        at((120, 121), place=2, strength="should"),
        at((130, 131), place=3, kind="keep"),
        at((140, 141), place=4, kind="plan"),
    )
    strip = drawn(sheet, *kinds)
    assert strip
    assert [one.look for one in strip.brackets] == ["first", "todo", "keep", "plan"]


def test_frames_outside_the_shot_are_not_drawn_but_named(sheet: Sheet, categories: Categories) -> None:
    notes = (at((130, 138)), at((900, 900), place=2), at(place=3))
    html = to_html(sheet.model_copy(update={"notes": notes, "top": ()}), categories, None, {})
    untied = html[html.index('class="untied"') :].split("</p>")[0]
    assert "#note-m1" not in untied
    assert "#note-m2" in untied
    assert "#note-m3" in untied


def test_a_shot_of_unknown_length_is_drawn_around_the_frames_named(sheet: Sheet) -> None:
    strip = drawn(sheet.model_copy(update={"shot": Shot()}), at((1005, 1010)))
    assert strip
    assert strip.rules[0].label == "1001"


def test_without_frames_there_is_no_map_of_the_shot(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet.model_copy(update={"notes": (at(),), "top": ()}), categories, None, {})
    assert 'id="map-shot"' not in html
    assert 'id="map-talk"' in html


def test_the_map_says_in_words_where_most_is_asked(sheet: Sheet, categories: Categories) -> None:
    notes = (at((130, 138)), at((136, 150), place=2), at((136, 137), place=3, kind="keep"))
    html = to_html(sheet.model_copy(update={"notes": notes, "top": ()}), categories, None, {})
    assert "Most is asked at frames 136–138: 2 notes." in html


def test_the_talk_is_drawn_minute_by_minute_and_plays(sheet: Sheet) -> None:
    groups = words.grouped(sheet)
    link = RecordingLink(("talk.opus",), False)
    strip = strips.talk_strip(
        sheet, groups, english(), lambda at: Time(f"{at}", words.clock(at), f"{link.sources[0]}#t={at}")
    )
    assert strip
    assert len(strip.brackets) == sum(len(note.moments) for note in sheet.notes)
    assert strip.brackets[0].time
    assert strip.brackets[0].text.startswith("Play note 5 from 0:09: Keep the look")
    assert [rule.label for rule in strip.rules][:2] == ["0:00", "2:00"]


def test_the_frame_on_screen_is_a_line_beside_the_talk(sheet: Sheet, categories: Categories) -> None:
    runs = (
        ScreenRun(start=0, end=20, first=101, last=188),
        ScreenRun(start=20, end=30),
        ScreenRun(start=30, end=60, first=130, last=130),
    )
    html = to_html(sheet.model_copy(update={"on_screen": OnScreen(source="shown", runs=runs)}), categories, None, {})
    assert 'class="outline outline-talk"' in html
    assert 'class="outline outline-talk"' not in to_html(sheet, categories, None, {})


def test_every_bracket_is_a_link_with_words(sheet: Sheet, categories: Categories) -> None:
    html = to_html(sheet, categories, None, {})
    drawing = html[html.index('aria-labelledby="map-shot"') :].split("</svg>")[0]
    assert drawing.count("<a ") == drawing.count('aria-label="Note ') == drawing.count("<title>") == 2
    assert 'href="#note-n2"' in drawing
