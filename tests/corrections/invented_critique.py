"""A critique to correct, and as many more as hypothesis can think of."""

from typing import get_args

from hypothesis import strategies as st

from critsheet.corrections import order
from critsheet.sheet import (
    BodyPart,
    Category,
    Done,
    FollowUp,
    FrameRange,
    FrameSource,
    Kind,
    Moment,
    Note,
    Place,
    Recording,
    Review,
    Scope,
    Segment,
    Sheet,
    Shot,
    Strength,
    Transcript,
)

FIRST, LAST = 101, 188
LENGTH_S = 600.0

SAID = (
    (12.0, "The feet slide when she lands at 131, plant them."),
    (40.0, "Delay the head two frames behind the chest."),
    (75.0, "The lamp goes through her hand at 150."),
    (90.0, "I love the pause before the jump."),
    (200.0, "Same slide on the second landing, 160."),
    (310.0, "Film yourself landing next time."),
)


def moment(place: int) -> Moment:
    start, text = SAID[place]
    return Moment(start=start, end=start + 5, quote=text)


def note(place: int, kind: Kind, category: Category, action: str, **more: object) -> Note:
    fields = {"strength": None if kind == "keep" else "should", "moments": (moment(place),), **more}
    return Note.model_validate(
        {"id": f"n{place + 1}", "rank": place + 1, "kind": kind, "category": category, "action": action, **fields}
    )


def critique() -> Sheet:
    """Five notes: three lead, one to keep, one plan."""
    notes = (
        note(
            0, "fix", "contact", "Plant the feet at 131 and 160.",
            subject="Wren", body=("foot",), moments=(moment(0), moment(4)), frames=(frame(131), frame(160, 0.6)),
            reasons=("raised 2 times",),
        ),
        note(1, "fix", "overlap", "Delay the head two frames.", body=("head", "chest"), doubts=("unsure of “head”",)),
        note(2, "fix", "polish", "Keep the lamp out of the hand.", frames=(frame(150),), strength="could"),
        note(3, "keep", "anticipation", "Keep the pause before the jump."),
        note(5, "plan", "workflow", "Film yourself landing.", scope="shot"),
    )  # fmt: skip
    return sheet_of(notes, ("n1", "n2"))


def frame(number: int, confidence: float = 1.0) -> FrameRange:
    return FrameRange(first=number, last=number, confidence=confidence)


def sheet_of(notes: tuple[Note, ...], top: tuple[str, ...] = (), left_out: tuple[Note, ...] = ()) -> Sheet:
    segments = tuple(Segment(start=start, end=start + 5, text=text, words=()) for start, text in SAID)
    return Sheet(
        id="s0123456789ab",
        made="2026-01-31T10:00:00Z",
        review=Review(title="Wren lands", recording=Recording(file="land.mp4", sha256="0" * 64, duration=LENGTH_S)),
        shot=Shot(fps="24", first=FIRST, last=LAST),
        transcript=Transcript(language="en", segments=segments),
        notes=notes,
        top=top,
        left_out=left_out,
    )


def lines_of(sheet: Sheet) -> list[str]:
    """The notes as a student sees them: group, id and words, in order."""
    notes = {each.id: each for each in sheet.notes}
    return [f"{key} {one}: {notes[one].action}" for key, ids in order(sheet).items() for one in ids]


words = st.text(st.characters(codec="utf-8"), max_size=40)
"""What recordings and people bring: any letters, marks and controls."""
plain_words = st.text("abc é:+-[]*#n1,<!–“”", min_size=1, max_size=30).map(str.strip).filter(bool)
"""What a mentor may type on a line, marks of the form among them."""
_moments = st.builds(
    lambda start, length, quote: Moment(start=start, end=start + length, quote=quote),
    st.floats(0, LENGTH_S - 20, allow_nan=False), st.floats(0, 9), words,
)  # fmt: skip
_spans = st.builds(
    lambda first, length, source, sure: FrameRange(first=first, last=first + length, source=source, confidence=sure),
    st.integers(1, 300), st.integers(0, 9), st.sampled_from(get_args(FrameSource)), st.sampled_from([0.4, 0.75, 1.0]),
)  # fmt: skip


@st.composite
def _notes(draw: st.DrawFn, number: int) -> Note:
    kind: Kind = draw(st.sampled_from(get_args(Kind)))
    return Note(
        id=f"n{number}",
        kind=kind,
        category=draw(st.sampled_from(get_args(Category))),
        also=tuple(draw(st.lists(st.sampled_from(get_args(Category)), unique=True, max_size=2))),
        subject=draw(st.none() | words),
        body=tuple(draw(st.lists(st.sampled_from(get_args(BodyPart)), unique=True, max_size=3))),
        moments=tuple(draw(st.lists(_moments, max_size=3))),
        frames=tuple(draw(st.lists(_spans, max_size=3))),
        looped=draw(st.booleans()),
        place=draw(st.none() | st.sampled_from(get_args(Place))),
        scope=draw(st.sampled_from(get_args(Scope))),
        strength=None if kind == "keep" else draw(st.sampled_from(get_args(Strength))),
        followup=draw(st.none() | st.sampled_from(get_args(FollowUp))),
        action=draw(words),
        rank=draw(st.integers(1, 20)),
        doubts=tuple(draw(st.lists(words, max_size=2))),
        done=draw(st.none() | st.builds(Done, at=st.just("2026-02-01T09:00:00Z"), comment=words)),
    )


@st.composite
def sheets(draw: st.DrawFn) -> Sheet:
    """Any sheet of up to seven notes, some of them left out; a note to keep never leads."""
    numbers = draw(st.lists(st.integers(1, 30), unique=True, max_size=7))
    every = [draw(_notes(number)) for number in numbers]
    out = draw(st.integers(0, min(2, len(every))))
    notes, left_out = tuple(every[out:]), tuple(every[:out])
    can_lead = [one.id for one in notes if one.kind != "keep"]
    top = draw(st.lists(st.sampled_from(can_lead), unique=True, max_size=3)) if can_lead else []
    return sheet_of(notes, tuple(top), left_out)
