"""From talk to notes, whole."""

from talk import spoken

from critsheet import vocabulary
from critsheet.notes import find_notes
from critsheet.sheet import Note, Shot, Transcript

PACK = vocabulary.load()
SHOT = Shot(fps="24", first=101, last=188)

TALK = """
Hey, okay, so let me just play that through once.
Right, so he walks in, he sees the crate, he picks it up.

First off, I love the little look he gives the crate before he bends down, that reads so well, don't lose that.

The biggest thing for me is the lift, there's no weight in it at all.
It floats up like it's full of feathers.
I would sink the hips first and get them under the crate, and have it stick for eight frames before it comes up.

At frame one forty the left foot slides when he turns.
Just plant it until he lifts it.

Um, hold on, where is it, let me scrub back.
His hand goes through the, no wait, that's the shadow, that's fine, ignore that.

Nitpick, at frame one seventy five the fingers are a bit parallel, if you have time, fan them out.

And the foot again at one sixty, same sliding there.

So next time, please shoot some reference of yourself lifting something heavy and send it with the blocking.
Okay, that's it, see you next week.
"""


def notes_of(text: str, names: tuple[str, ...] = ("Osk", "crate")) -> tuple[tuple[Note, ...], tuple[str, ...]]:
    return find_notes(spoken(text), PACK, SHOT, names)


def about(notes: tuple[Note, ...], word: str) -> Note:
    return next(note for note in notes if any(word in moment.quote for moment in note.moments))


def test_each_note_is_there_once_with_its_kind() -> None:
    notes, _ = notes_of(TALK)
    assert about(notes, "little look").kind == "keep"
    assert about(notes, "no weight").kind == "fix"
    assert about(notes, "left foot slides").kind == "fix"
    assert about(notes, "reference").kind == "plan"


def test_chatter_and_description_give_no_line() -> None:
    notes, _ = notes_of(TALK)
    said = " ".join(moment.quote for note in notes for moment in note.moments)
    for passing in ("play that through", "picks it up", "scrub back", "see you next week"):
        assert passing not in said


def test_a_note_taken_back_gives_no_line() -> None:
    notes, _ = notes_of(TALK)
    assert not any("shadow" in moment.quote for note in notes for moment in note.moments)


def test_the_same_issue_minutes_later_joins_its_note() -> None:
    notes, _ = notes_of(TALK)
    foot = about(notes, "left foot slides")
    assert len(foot.moments) == 2
    assert [(frame.first, frame.last) for frame in foot.frames] == [(140, 140), (160, 160)]
    assert foot.category == "contact"
    assert foot.body == ("foot",)


def test_what_the_mentor_stressed_leads() -> None:
    notes, top = notes_of(TALK)
    lift = about(notes, "no weight")
    assert lift.strength == "must"
    assert top[0] == lift.id
    assert notes[0].id == lift.id
    assert any("stressed" in reason for reason in lift.reasons)


def test_a_nitpick_is_optional_and_never_leads() -> None:
    notes, top = notes_of(TALK)
    fingers = about(notes, "fingers")
    assert fingers.strength == "could"
    assert fingers.id not in top


def test_an_aside_belongs_to_what_it_leads_on_to() -> None:
    talk = "The arc of the wrist is broken, smooth it out.\n\nThis is a nitpick.\nSpread the fingers a touch."
    notes, _ = notes_of(talk)
    assert not any(note.moments[0].quote == "This is a nitpick." for note in notes)


def test_brief_notes_right_after_each_other_stay_apart() -> None:
    notes, _ = notes_of(
        "The foot slides. Pin it down.\nThe arms are too stiff, loosen them up.\nLovely timing on the jump."
    )
    assert [note.kind for note in notes] == ["fix", "fix", "keep"]


def test_one_plain_sentence_is_a_note() -> None:
    notes, _ = notes_of("The foot is sliding all over.")
    assert [(note.category, note.body) for note in notes] == [("contact", ("foot",))]


def test_ranks_count_from_one_and_every_line_has_an_action() -> None:
    notes, _ = notes_of(TALK)
    assert [note.rank for note in notes] == list(range(1, len(notes) + 1))
    assert all(note.action for note in notes)


def test_the_same_talk_gives_the_same_notes() -> None:
    assert notes_of(TALK) == notes_of(TALK)


def test_nothing_said_gives_no_notes() -> None:
    assert find_notes(Transcript(language="en", segments=()), PACK, SHOT, ()) == ((), ())
