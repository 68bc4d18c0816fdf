"""Markers for an editing program: a note at its frames, in the colour of its priority."""

import json
from typing import Any

from invented_sheet import NOTES

from critsheet.render.markers import to_markers
from critsheet.sheet import Sheet, Shot


def clip(sheet: Sheet) -> dict[str, Any]:
    text = to_markers(sheet)
    assert text is not None
    found: dict[str, Any] = json.loads(text)["tracks"]["children"][0]["children"][0]
    return found


def test_notes_without_frames_make_no_file(sheet: Sheet) -> None:
    assert to_markers(sheet.model_copy(update={"notes": NOTES[2:], "top": ()})) is None
    assert to_markers(sheet.model_copy(update={"shot": None})) is None


def test_the_file_is_the_same_each_time_and_names_no_folder(sheet: Sheet) -> None:
    shot = Shot(first=101, last=188, name="lift", file="osk lift.mov")
    named = sheet.model_copy(update={"shot": shot})
    assert to_markers(named) == to_markers(named)
    reference = clip(named)["media_references"]["DEFAULT_MEDIA"]
    assert reference["target_url"] == "osk%20lift.mov"


def test_what_was_said_is_one_line_of_text(sheet: Sheet) -> None:
    odd = NOTES[0].model_copy(update={"action": "Plant\nit\x1b[2J."})
    marker = clip(sheet.model_copy(update={"notes": (odd, *NOTES[1:])}))["markers"][0]
    assert marker["comment"] == "Plant it [2J."
