"""The sheet's form with frames, stills and a map of the recording: old sheets stay readable, odd ones are refused."""

import json

import pytest
from invented_playhead import note, paused, playhead

from critsheet.errors import SheetError
from critsheet.frames import on_screen
from critsheet.screen import Still
from critsheet.sheet import Recording, Review, Sheet, Transcript, from_document, to_json

STILL = {"file": "stills/n1-1-screen.webp", "kind": "screen", "frames": [142], "width": 640, "height": 360}


def document() -> dict[str, object]:
    stills = (Still.model_validate(STILL),)
    sheet = Sheet(
        id="s1",
        made="2026-01-31T10:00:00Z",
        review=Review(title="Lift", recording=Recording(file="talk.mp4", sha256="0" * 64, duration=9)),
        transcript=Transcript(language="en", segments=()),
        notes=(note((0, 3)).model_copy(update={"stills": stills, "looped": True}),),
        on_screen=on_screen(playhead((4, paused(142)))),
        doubts=("the shot was not seen in the recording",),
    )
    found: dict[str, object] = json.loads(to_json(sheet))
    return found


def test_a_sheet_with_pictures_comes_back_as_it_was() -> None:
    assert json.loads(to_json(from_document(document(), "sheet.json"))) == document()


def test_a_sheet_from_before_there_were_pictures_is_still_read() -> None:
    old = document()
    for key in ("on_screen", "doubts"):
        del old[key]
    for key in ("stills", "looped"):
        del old["notes"][0][key]  # type: ignore[index]
    sheet = from_document(old, "sheet.json")
    assert (sheet.on_screen, sheet.doubts, sheet.notes[0].stills, sheet.notes[0].looped) == (None, (), (), False)


@pytest.mark.parametrize(
    "change",
    [
        {"file": "../../secret.webp"},
        {"file": "/etc/passwd"},
        {"file": "stills/../x.webp"},
        {"file": "stills/x.svg"},
        {"frames": []},
        {"width": 0},
    ],
)
def test_a_still_lies_in_its_folder_and_nowhere_else(change: dict[str, object]) -> None:
    odd = document()
    odd["notes"][0]["stills"] = [{**STILL, **change}]  # type: ignore[index]
    with pytest.raises(SheetError):
        from_document(odd, "sheet.json")


def test_a_run_that_ends_before_it_starts_is_refused() -> None:
    odd = document()
    odd["on_screen"]["runs"] = [{"start": 3, "end": 2}]  # type: ignore[index]
    with pytest.raises(SheetError, match="ends after it starts"):
        from_document(odd, "sheet.json")
