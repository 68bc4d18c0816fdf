"""Which body parts a note is about."""

from talk import spoken

from critsheet import vocabulary
from critsheet.language import read
from critsheet.notes.about import About
from critsheet.notes.drafts import Draft
from critsheet.notes.parts import part_evidence, parts_meant
from critsheet.sheet import Shot

PACK = vocabulary.load()


def note(text: str) -> About:
    return About(Draft("fix", (tuple(read(spoken(text), PACK, Shot(), ())),), 1.0))


def test_the_part_that_moves_wrongly_is_meant() -> None:
    assert parts_meant(note("The left foot slides. Plant it until he lifts it.")) == ("foot",)


def test_every_part_named_is_weighed_once() -> None:
    rows = part_evidence(note("The hips and the chest turn together. The hips should lead."))
    assert list(rows) == ["hips", "chest"]
    assert rows["hips"]["mentions"] == 2.0
    assert "named first" not in rows["chest"]


def test_a_place_after_a_preposition_is_seen_as_one() -> None:
    rows = part_evidence(note("Bring the hand up to the chin."))
    assert rows["hand"]["after a preposition"] == 0.0
    assert all(row["after a preposition"] == 1.0 for part, row in rows.items() if part != "hand")
