"""The talk as captions that any player can show."""

import io
from itertools import pairwise

import webvtt
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_sheet import spoken

from critsheet.render.captions import LINE_CHARACTERS, MAX_LINES, to_webvtt
from critsheet.sheet import Segment, Transcript, Word


def cues(transcript: Transcript) -> list[webvtt.Caption]:
    return list(webvtt.from_buffer(io.StringIO(to_webvtt(transcript))))


def talk(*words: tuple[float, float, str]) -> Transcript:
    spoken = tuple(Word(start=start, end=end, text=text) for start, end, text in words)
    text = " ".join(word.text for word in spoken)
    return Transcript(
        language="en", segments=(Segment(start=spoken[0].start, end=spoken[-1].end, text=text, words=spoken),)
    )


def test_every_word_is_there_in_order() -> None:
    shown = " ".join(cue.text.replace("\n", " ") for cue in cues(spoken()))
    assert shown.split() == [word.text for word in spoken().words]


def test_captions_have_two_lines_at_most_and_break_after_sentences() -> None:
    for cue in cues(spoken()):
        assert len(cue.text.splitlines()) <= MAX_LINES
        assert max(map(len, cue.text.splitlines())) <= LINE_CHARACTERS
    assert "I don't feel any weight in it." in [cue.text for cue in cues(spoken())]


def test_a_long_sentence_is_cut_evenly_and_leaves_no_word_alone() -> None:
    words = ["frame"] * 19
    shown = cues(talk(*((i / 2, i / 2 + 0.4, word) for i, word in enumerate(words))))
    assert min(len(cue.text.split()) for cue in shown) > 5


def test_a_sentence_that_the_recogniser_broke_in_two_is_whole_again() -> None:
    first, second = (
        talk((0, 1, "Delay"), (1, 2, "the")),
        talk(
            (2, 3, "head."),
        ),
    )
    both = first.model_copy(update={"segments": first.segments + second.segments})
    assert [cue.text for cue in cues(both)] == ["Delay the head."]


def test_a_long_sentence_is_cut_where_the_voice_rests() -> None:
    words = ["moving"] * 6 + ["along,"] + ["moving"] * 9
    shown = cues(talk(*((i / 2, i / 2 + 0.4, word) for i, word in enumerate(words))))
    assert shown[0].text.endswith("along,")


def test_two_lines_are_about_equally_long() -> None:
    (cue,) = cues(
        talk(*((i, i + 1, word) for i, word in enumerate("everything that he does up here is too even here.".split())))
    )
    assert cue.text == "everything that he does\nup here is too even here."


def test_a_pause_starts_a_new_caption() -> None:
    shown = cues(talk((0, 1, "Look"), (1, 2, "here"), (9, 10, "again")))
    assert [cue.text for cue in shown] == ["Look here", "again"]


def test_marks_of_the_format_are_only_text() -> None:
    text = to_webvtt(talk((0, 1, "<b>5"), (1, 2, "-->"), (2, 3, "6&"), (3, 4, "\nNOTE\n\n")))
    assert "&lt;b&gt;5 --&gt; 6&amp; NOTE" in text
    assert text.count("-->") == 1


def test_an_empty_talk_is_an_empty_caption_file() -> None:
    assert to_webvtt(Transcript(language="en", segments=())) == "WEBVTT\n"


times = st.floats(min_value=0, max_value=20_000, allow_nan=False)


@settings(deadline=None)
@given(st.lists(st.tuples(times, times, st.text(max_size=9)), min_size=1, max_size=40))
def test_captions_stand_in_order_and_never_overlap_whatever_the_times(
    words: list[tuple[float, float, str]],
) -> None:
    shown = cues(talk(*words))
    for cue, following in pairwise(shown):
        assert cue.end_in_seconds <= following.start_in_seconds
    for cue in shown:
        assert cue.start < cue.end
