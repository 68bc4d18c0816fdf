"""Spoken tokens: words and marks with the times they were said."""

from critsheet.language.spoken import said, spoken_tokens
from critsheet.sheet import Segment, Transcript, Word


def transcript(*words: tuple[str, float, float]) -> Transcript:
    spoken = tuple(Word(start=start, end=end, text=text) for text, start, end in words)
    text = " ".join(word.text for word in spoken)
    return Transcript(
        language="en", segments=(Segment(start=spoken[0].start, end=spoken[-1].end, text=text, words=spoken),)
    )


def test_marks_are_tokens_and_contractions_stay_whole() -> None:
    tokens = spoken_tokens(transcript(("Don't", 0.0, 0.4), ("slide,", 0.4, 0.8), ("1,024.", 0.9, 1.4)))
    assert [token.text for token in tokens] == ["Don't", "slide", ",", "1,024", "."]


def test_every_token_has_the_time_of_its_word() -> None:
    tokens = spoken_tokens(transcript(("hips,", 1.0, 1.5), ("late.", 3.0, 3.5)))
    assert [(token.start_s, token.end_s) for token in tokens] == [(1.0, 1.5), (1.0, 1.5), (3.0, 3.5), (3.0, 3.5)]
    assert tokens[2].pause_s == 1.5


def test_tokens_read_as_running_text_again() -> None:
    tokens = spoken_tokens(transcript(("Well,", 0.0, 0.4), ("plant", 0.4, 0.8), ("it.", 0.9, 1.4)))
    assert said(tokens) == "Well, plant it."
