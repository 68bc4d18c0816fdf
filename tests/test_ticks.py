"""A student's check-off file goes into the sheet, or says in one line why not."""

import json
from pathlib import Path
from typing import Any

import pytest

from critsheet import ticks
from critsheet.errors import CritsheetError
from critsheet.labels import Done
from critsheet.sheet import Note, Recording, Review, Sheet, Transcript, to_json


def note(note_id: str, done: Done | None = None) -> Note:
    return Note(id=note_id, kind="fix", category="arcs", moments=(), action="Smooth it.", rank=1, done=done)


def sheet(*notes: Note) -> Sheet:
    recording = Recording(file="talk.wav", sha256="0" * 64, duration=1)
    return Sheet(
        id="s1",
        made="2026-01-01T10:00:00Z",
        review=Review(title="Lift", recording=recording),
        transcript=Transcript(language="en", segments=()),
        notes=notes,
    )


def document(**notes: Any) -> dict[str, Any]:
    return {"schema": "critsheet-ticks/1", "sheet": "s1", "saved": "2026-02-03T18:20:00Z", "notes": notes}


def tick(done: bool = True, at: str = "2026-02-03T18:10:00.000Z", comment: str = "") -> dict[str, Any]:
    return {"done": done, "at": at, "comment": comment}


def loaded(folder: Path, content: Any, into: Sheet) -> Sheet:
    path = folder / "ticks-s1.json"
    path.write_text(content if isinstance(content, str) else json.dumps(content))
    return ticks.load(path, into)


def test_a_tick_and_its_comment_go_into_the_note(tmp_path: Path) -> None:
    found = loaded(tmp_path, document(n2=tick(comment="planted\nat 42")), sheet(note("n1"), note("n2")))
    assert [one.done for one in found.notes] == [None, Done(at="2026-02-03T18:10:00.000Z", comment="planted at 42")]


def test_a_tick_taken_away_goes_and_notes_that_are_not_named_keep_theirs(tmp_path: Path) -> None:
    old = Done(at="2026-02-01T10:00:00Z")
    found = loaded(tmp_path, document(n1=tick(done=False)), sheet(note("n1", old), note("n2", old)))
    assert [one.done for one in found.notes] == [None, old]


def test_of_two_ticks_on_a_note_the_later_one_counts(tmp_path: Path) -> None:
    later = Done(at="2026-02-04T00:10:00+02:00", comment="later")
    found = loaded(tmp_path, document(n1=tick(at="2026-02-03T18:10:00Z")), sheet(note("n1", later)))
    assert found.notes[0].done == later


def test_a_note_that_was_left_out_keeps_its_tick(tmp_path: Path) -> None:
    whole = sheet(note("n1")).model_copy(update={"left_out": (note("n2"),)})
    assert loaded(tmp_path, document(n2=tick()), whole).left_out[0].done is not None


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("{", "not a whole check-off file"),
        ("[" * 100_000, "not a whole check-off file"),
        ("[]", "is not a check-off file"),
        ({"schema": "critsheet/1"}, "is not a check-off file"),
        ({**document(), "schema": "critsheet-ticks/2"}, "saved by another version (critsheet-ticks/2)"),
        ({**document(), "sheet": "s9"}, "ticks of another sheet (s9, this one is s1)"),
        (document(n9=tick()), "'n9'"),
        (document(n1={"done": "perhaps", "at": "2026-02-03T18:10:00Z"}), "damaged at notes.n1.done"),
        (document(n1=tick(at="yesterday")), "damaged at notes.n1.at"),
        (document(n1=tick(comment="x" * 2001)), "damaged at notes.n1.comment"),
        (document(n1={**tick(), "mark": "A"}), "damaged at notes.n1.mark"),
        ({**document(), "notes": []}, "damaged at notes"),
        (json.dumps(document(n1=tick())) + " " * 1_000_000, "too large"),
    ],
)
def test_a_file_that_does_not_fit_is_refused_in_one_line(tmp_path: Path, content: Any, says: str) -> None:
    with pytest.raises(CritsheetError) as told:
        loaded(tmp_path, content, sheet(note("n1")))
    assert says in str(told.value)
    assert "\n" not in str(told.value)
    assert len(str(told.value)) < 600


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(CritsheetError, match="Cannot read"):
        ticks.load(tmp_path / "nothing.json", sheet())


def test_a_comment_of_broken_characters_is_mended(tmp_path: Path) -> None:
    broken = json.dumps(document(n1=tick(comment="COMMENT"))).replace("COMMENT", "\\ud800 \\u202e a")
    found = loaded(tmp_path, broken, sheet(note("n1")))
    assert to_json(found).encode()
    assert found.notes[0].done == Done(at="2026-02-03T18:10:00.000Z", comment="? a")
