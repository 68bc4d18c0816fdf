"""With stand-ins nobody is named anywhere in a sheet; everything else in it stays as it is."""

import json
from itertools import chain
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from critsheet.archive.names import parts_of
from critsheet.archive.pseudonyms import Pseudonyms
from critsheet.sheet import (
    Done,
    Earlier,
    Moment,
    Note,
    Recording,
    Repair,
    Review,
    Segment,
    Sheet,
    Shot,
    Transcript,
    Word,
    to_json,
)

KEY = bytes(range(32))
HASH = "ab" * 32
PEOPLE = {1: "Tamsin Okoro", 2: "Hal Orsini", 3: "Will Marsh", 4: "Tamsin Venn"}
KNOWN = Pseudonyms(PEOPLE, [2], KEY)


def said(text: str, **about: Any) -> Sheet:
    """A sheet in which everything says the same."""
    words = tuple(
        Word(start=place, end=place + 1, text=word, raw="tamsyn") for place, word in enumerate(text.split(), 10)
    )
    segment = Segment(start=10, end=99, text=text, words=words)
    given = {"student": "Tamsin Okoro", "mentor": "Hal Orsini", "people": KNOWN, **about}
    note = Note(
        id="n1",
        kind="fix",
        category="contact",
        subject=text,
        moments=(Moment(start=1, end=2, quote=text),),
        action=text,
        rank=1,
        reasons=(text,),
        doubts=(text,),
        done=Done(at="2026-01-31T10:00:00Z", comment=text),
    )
    return Sheet(
        id="s123",
        made="2026-01-31T10:00:00Z",
        review=Review(
            title=text,
            student=given["student"],
            mentor=given["mentor"],
            recording=Recording(file="tamsin.mov", sha256=HASH, duration=9, links=("../tamsin.mov",)),
        ),
        shot=Shot(name=text, file="okoro.mov", sha256=HASH),
        settings={
            "options": {"captions": {"file": "tamsin.vtt", "sha256": HASH}, "names": ["Osk"], "previous": ["s123"]}
        },
        transcript=Transcript(
            language="en", segments=(segment,), repairs=(Repair(start=1, raw="tam sin", text="Tamsin", rule="name"),)
        ),
        notes=(note,),
        earlier=(Earlier(action=text, category="contact", outcome="resolved", done=note.done),),
        left_out=(note.model_copy(update={"id": "n2"}),),
        doubts=(text,),
    )


def stand_in(sheet: Sheet) -> Sheet:
    return KNOWN.stand_in(sheet).sheet


def test_people_are_called_by_their_numbers_everywhere() -> None:
    new = stand_in(said("so Tamsin, do it as Will Marsh did; Hal's right"))
    told = "so Student 1, do it as Student 3 did; Mentor 2's right"
    assert (new.review.student, new.review.mentor, new.review.title) == ("Student 1", "Mentor 2", told)
    texts = {new.notes[0].action, new.notes[0].moments[0].quote, new.transcript.segments[0].text, new.earlier[0].action}
    assert texts == {told} and new.notes[0].done and new.notes[0].done.comment == told


def test_timed_words_stay_with_their_text() -> None:
    segment = stand_in(said("so Tamsin, like Will Marsh. Go")).transcript.segments[0]
    assert " ".join(word.text for word in segment.words) == segment.text == "so Student 1, like Student 3. Go"
    assert [(word.start, word.end) for word in segment.words] == [
        (10, 11), (11, 11.5), (11.5, 12), (12, 13), (13, 14), (14, 15), (15, 16),
    ]  # fmt: skip


def test_what_was_heard_at_first_goes_with_the_name() -> None:
    new = stand_in(said("Tamsin go"))
    assert [word.raw for word in new.transcript.words] == [None, None, "tamsyn"]
    assert (new.transcript.repairs[0].raw, new.transcript.repairs[0].text) == ("Student 1", "Student 1")


def test_a_name_of_several_is_the_sheets_own_or_someone() -> None:
    assert stand_in(said("well done Tamsin")).notes[0].action == "well done Student 1"
    assert stand_in(said("well done Tamsin", student="Tamsin Venn")).notes[0].action == "well done Student 4"
    assert stand_in(said("well done Tamsin", student="Will Marsh")).notes[0].action == "well done Someone"


def test_files_and_hashes_get_the_same_stand_in_throughout() -> None:
    new = stand_in(said("go"))
    stands_for = new.review.recording.sha256
    assert stands_for != HASH and len(stands_for) == 64
    assert new.shot and new.shot.sha256 == new.settings["options"]["captions"]["sha256"] == stands_for
    assert new.review.recording.file == f"file-{stands_for[:12]}.mov" and not new.review.recording.links
    assert new.settings["options"]["previous"] == [new.id] != ["s123"]
    assert new.settings["options"]["names"] == ["Osk"]
    assert Pseudonyms(PEOPLE, [2], KEY[::-1]).stand_in(said("go")).sheet.review.recording.sha256 != stands_for


def test_captions_without_capitals_leave_what_cannot_be_told_and_say_so() -> None:
    stood_in = KNOWN.stand_in(said("tamsin said will did it"))
    assert stood_in.sheet.notes[0].action == "Student 1 said will did it"
    assert dict(stood_in.unsure) == {"will": 1}


NAMES = st.lists(
    st.tuples(*[st.text("bcdfgklmnpqrtvz", min_size=5, max_size=8).map(lambda name: name.capitalize() + "úx")] * 2),
    min_size=1,
    max_size=4,
    unique_by=(lambda name: name[0], lambda name: name[1]),
)
"""Names that no language has."""
WRITTEN = st.sampled_from([str, str.upper, str.lower, lambda name: f"{name}'s", lambda name: f"“{name}”,", str.title])
PLAIN = st.sampled_from("the foot slides. Look, 42 hips — don't (or) weight 118–124 <b> \\ \" % é\u0301".split(" "))


@given(NAMES, st.data())
def test_nobody_is_left_and_nothing_else_is_changed(names: list[tuple[str, str]], data: st.DataObject) -> None:
    people = {number: " ".join(name) for number, name in enumerate(names, 1)}
    bears = [form for name in names for form in (" ".join(name), *name)]
    pieces = st.one_of(PLAIN, st.tuples(st.sampled_from(bears), WRITTEN).map(lambda pair: pair[1](pair[0])))
    drawn = data.draw(st.lists(pieces, min_size=1, max_size=12))
    known = Pseudonyms(people, [1], KEY)
    sheet = said(" ".join(drawn), student=people[1], mentor=people[len(people)])
    new = known.stand_in(sheet).sheet
    left = set(parts_of(to_json(new)))
    assert not left & set(chain.from_iterable(parts_of(name) for name in people.values()))
    for segment in new.transcript.segments:
        assert " ".join(word.text for word in segment.words) == segment.text
        assert all(one.end <= other.start for one, other in zip(segment.words, segment.words[1:], strict=False))
    kept = [piece for piece in drawn if not set(parts_of(piece)) & {part for name in bears for part in parts_of(name)}]
    rest = [word for word in new.notes[0].action.split() if word in kept]
    assert rest == kept


@given(st.lists(PLAIN, min_size=1, max_size=12))
def test_without_a_name_nothing_is_changed(words: list[str]) -> None:
    sheet = said(" ".join(words))
    old, new = json.loads(to_json(sheet)), json.loads(to_json(stand_in(sheet)))
    for one in (old, new):
        for part in ("id", "review", "settings", "shot"):
            del one[part]
        del one["transcript"]["repairs"]
    assert new == old
