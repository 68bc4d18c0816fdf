"""What decided a label can be told, in words that were said."""

from talk import spoken

from critsheet import vocabulary
from critsheet.notes import find_notes
from critsheet.notes.why import Why, in_words, why
from critsheet.sheet import Shot

TALK = (
    "Okay, let me play it. The left foot slides from 40 to 46, pin it down. I love the pause before he sits, keep that."
)


def told() -> list[Why]:
    return why(spoken(TALK), vocabulary.load(), Shot())


def test_a_sliding_foot_is_contact_because_the_vocabulary_says_so() -> None:
    foot = next(one for one in told() if "slides" in one.quote)
    assert "“foot slides” (contact, fault)" in foot.phrases
    category = next(made for made in foot.decisions if made.of == "category")
    assert category.label == "contact"
    assert "a fault of contact" in category.evidence


def test_every_note_of_the_sheet_is_explained_with_the_label_that_the_sheet_gives() -> None:
    notes, _ = find_notes(spoken(TALK), vocabulary.load(), Shot())
    labels = {one.note: {made.of: made.label for made in one.decisions} for one in told()}
    assert {note.id: note.category for note in notes} == {note: made["category"] for note, made in labels.items()}


def test_what_is_to_be_kept_has_no_strength_to_explain() -> None:
    pause = next(one for one in told() if "pause" in one.quote)
    assert "strength" not in {made.of for made in pause.decisions}


def test_evidence_is_told_in_the_words_that_were_said() -> None:
    assert in_words("word slide", {"slide": "slides"}) == "“slides”"
    assert in_words("part foot", {}) == "the foot named"
