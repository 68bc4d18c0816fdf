"""An invented critique as a finished sheet, and what a vocabulary says about some of its categories."""

import pytest
from invented_sheet import NOTES, spoken

from critsheet.sheet import Recording, Review, Sheet, Shot
from critsheet.vocabulary import CategoryEntry


@pytest.fixture
def sheet() -> Sheet:
    """A sheet of six notes: two to do first, one then, one optional, one to keep, one plan."""
    return Sheet(
        id="s0123456789ab",
        made="2026-01-31T10:00:00Z",
        review=Review(
            title="Osk lifts the crate",
            mentor="Mara Quill",
            student="Jon Tarn",
            submission=2,
            recording=Recording(file="osk lift.mp4", sha256="0" * 64, duration=3610.0),
        ),
        shot=Shot(fps="24", first=101, last=188),
        settings={"options": {"model": "base", "device": "cpu"}, "versions": {"critsheet": "0.1.0"}},
        transcript=spoken(),
        notes=NOTES,
        top=("n1", "n2"),
    )


@pytest.fixture
def categories() -> dict[str, CategoryEntry]:
    """What the vocabulary says about weight and overlap; the other categories are unknown to it."""
    entries = (
        CategoryEntry(
            id="weight",
            name="Weight",
            meaning="Balance, gravity, effort and force: whether we feel how heavy things are.",
            why="Without it a character seems to hang from a string.",
            remedy="Move the hips over the support foot before the free foot lifts.",
            check="Drop a plumb line from the hips to the supporting foot.",
            order=4,
            file="weight.yaml",
        ),
        CategoryEntry(
            id="overlap",
            name="Overlap",
            meaning="Parts start and stop at different times.",
            why="Bodies that stop all at once look like boards.",
            remedy="Let the driver arrive first, each part after it a little later.",
            check="Note the stop frame of hips, chest, head and hand.",
            order=5,
            file="overlap.yaml",
        ),
    )
    return {entry.id: entry for entry in entries}
