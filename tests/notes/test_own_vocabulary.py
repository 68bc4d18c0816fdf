"""A school's own phrase takes effect without training."""

from pathlib import Path

from talk import spoken

from critsheet import vocabulary
from critsheet.notes import find_notes
from critsheet.sheet import Note, Shot

OWN = """\
id: secondary
fault:
  - gone to kip
examples:
  match:
    - The bunting has gone to kip.
"""
TALK = """
Okay, let me play that again and then we talk.

Her sleeve has gone to kip on the turn, I'd sort that.

And the camera pops at the end, lock it off.
Okay, bye.
"""


def sleeve(pack: vocabulary.Vocabulary) -> Note:
    notes, _ = find_notes(spoken(TALK), pack, Shot())
    return next(note for note in notes if "sleeve" in note.moments[0].quote)


def test_a_phrase_of_the_schools_own_decides_what_a_note_is_about(tmp_path: Path) -> None:
    folder = tmp_path / "school"
    (folder / "categories").mkdir(parents=True)
    (folder / "categories" / "secondary.yaml").write_text(OWN)
    assert sleeve(vocabulary.load()).category != "secondary"
    assert sleeve(vocabulary.load([folder])).category == "secondary"
