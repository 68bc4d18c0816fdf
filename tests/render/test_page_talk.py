"""The talk on the page: every sentence is there, and leads to the note it went into."""

from hypothesis import given, settings
from hypothesis import strategies as st

from critsheet.render import talk
from critsheet.render.page import to_html
from critsheet.sheet import Segment, Sheet, Transcript, Word


def said(sheet: Sheet) -> dict[str, tuple[str, ...]]:
    """Each piece of the talk with its notes."""
    found = [piece for paragraph in talk.pieces(sheet) for piece in paragraph]
    return {" ".join(word.text for word in piece.words): piece.notes for piece in found}


def test_each_sentence_belongs_to_its_note(sheet: Sheet) -> None:
    pieces = said(sheet)
    assert pieces["Now the biggest thing."] == ("n1",)
    assert pieces["Delay the head two or three frames."] == ("n2",)
    assert pieces["Same thing on the landing, everything stops on one frame."] == ("n2",)


def test_chatter_stays_in_sight_and_belongs_to_no_note(sheet: Sheet) -> None:
    assert said(sheet)["Okay, so this is Osk lifting the crate, second pass."] == ()
    html = to_html(sheet, {}, None, {})
    assert '<span id="said-1" class="chatter">Okay, so this is Osk' in html
    assert "9 of 12 sentences" not in html
    assert "11 of 12 sentences went into notes" in html


def test_a_sentence_is_cut_where_a_note_begins_in_it(sheet: Sheet) -> None:
    note = sheet.notes[0].model_copy(
        update={"moments": (sheet.notes[0].moments[0].model_copy(update={"start": 2.85, "end": 5.0}),)}
    )
    pieces = said(sheet.model_copy(update={"notes": (note,), "top": ()}))
    assert pieces["Okay, so this"] == ()
    assert pieces["is Osk lifting the crate, second pass."] == ("n1",)


def test_a_quote_leads_to_the_place_in_the_talk(sheet: Sheet) -> None:
    html = to_html(sheet, {}, None, {})
    assert 'href="#said-3" aria-label="Read it in the talk, at 0:21"' in html
    assert '<span id="said-3">Now the biggest thing.' in html


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(0, 50), st.sampled_from(["so.", "now", "wait?", "the"])), max_size=40))
def test_no_word_is_lost_or_told_twice(words: list[tuple[float, str]]) -> None:
    told = tuple(Word(start=at, end=at + 0.1, text=text) for at, text in sorted(words))
    segment = Segment(start=0, end=60, text=" ".join(word.text for word in told), words=told)
    document = {"transcript": Transcript(language="en", segments=(segment,)), "notes": ()}
    sheet = Sheet.model_construct(**document)
    found = [word for paragraph in talk.pieces(sheet) for piece in paragraph for word in piece.words]
    assert tuple(found) == told
