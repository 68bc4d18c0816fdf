"""The checklist where it was asked for: in the terminal."""

import io

import pytest
from invented_sheet import NOTES
from rich.console import Console

from critsheet.render.terminal import print_checklist
from critsheet.sheet import Sheet


def printed(sheet: Sheet, width: int = 80, colour: bool = False) -> str:
    screen = io.StringIO()
    print_checklist(
        sheet,
        Console(file=screen, width=width, force_terminal=colour, color_system="standard" if colour else None),
    )
    return screen.getvalue()


@pytest.mark.parametrize("width", [40, 80, 300])
def test_the_checklist_fits_the_terminal_and_is_never_too_wide_to_read(sheet: Sheet, width: int) -> None:
    lines = printed(sheet, width).splitlines()
    assert max(map(len, lines)) <= min(width, 96)
    assert all(line == line.rstrip() for line in lines)


def test_it_names_people_frames_times_doubts_and_the_mentors_words(sheet: Sheet) -> None:
    text = printed(sheet)
    assert "for Jon Tarn · from Mara Quill · submission 2" in text
    assert "DO FIRST\n  1 Get the hips back" in text
    assert "at 0:21 and 0:30" in text
    assert "Not sure: recogniser unsure of “plant”" in text


def test_colour_is_for_terminals_only(sheet: Sheet) -> None:
    assert "\x1b[" in printed(sheet, colour=True)
    assert "\x1b" not in printed(sheet)


def test_words_that_look_like_markup_or_codes_are_printed_as_words(sheet: Sheet) -> None:
    odd = NOTES[0].model_copy(update={"action": "Try [bold]this[/] \x1b[2J\x07 now."})
    text = printed(sheet.model_copy(update={"notes": (odd, *NOTES[1:])}))
    assert "Try [bold]this[/] [2J now." in text
    assert "\x1b" not in text


def test_a_talk_without_notes_says_so(sheet: Sheet) -> None:
    assert "No notes were found" in printed(sheet.model_copy(update={"notes": (), "top": ()}))
