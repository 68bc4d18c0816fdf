"""Whatever stands in a caption file, reading it gives a sound transcript or one clear error."""

import json
from itertools import pairwise
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from critsheet.errors import InputError
from critsheet.speech import read_captions
from critsheet.speech.captions.cues import pieces_of
from critsheet.speech.captions.rolling import without_rolled

TIMES = ("0:01", "00:00:02.5", "1:00:00", "00:00:01,000", "99:99", "-1:00", "00:01.000 --> 00:00.500", "-->")
CUE = "00:01.000 --> 00:02.000\n"
MARKS = ("WEBVTT\n", "NOTE x\n", "\n", "\n\n", "1\n", "[", "]", "{", "<00:00:01.000>", "<c>", CUE)
SCRAPS = st.one_of(st.sampled_from(TIMES), st.sampled_from(MARKS), st.text(max_size=12))
WORDS = st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=6)
quick = settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def check_sound(path: Path) -> None:
    """Words have times that never run backwards within a segment, and segments stand in order of start."""
    try:
        transcript = read_captions(path)
    except InputError as error:
        assert error.hint
        return
    starts = [segment.start for segment in transcript.segments]
    assert starts == sorted(starts)
    for segment in transcript.segments:
        assert segment.words
        assert segment.text == " ".join(word.text for word in segment.words)
        assert all(word.start <= word.end for word in segment.words)
        assert all(left.start <= right.start for left, right in pairwise(segment.words))
        assert all(word.text.isprintable() and word.text == word.text.strip() for word in segment.words)


@quick
@given(st.lists(SCRAPS, max_size=30).map("".join))
def test_any_text_is_read_or_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "talk.vtt"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    check_sound(path)


@quick
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "talk.vtt"
    path.write_bytes(content)
    check_sound(path)


KEYS = st.sampled_from(["segments", "start", "end", "text", "words", "word", "language"])
DOCUMENTS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=5),
)


@quick
@given(DOCUMENTS)
def test_any_json_is_read_or_refused(tmp_path: Path, document: object) -> None:
    path = tmp_path / "talk.json"
    path.write_text(json.dumps({"segments": document}))
    check_sound(path)


@given(st.text(max_size=200))
def test_words_of_any_text_show_on_one_line(text: str) -> None:
    assert all(piece.text and piece.text.isprintable() and " " not in piece.text for piece in pieces_of(text))


@given(st.lists(st.lists(WORDS, min_size=4, max_size=8, unique=True), min_size=4, max_size=8))
def test_rolling_captions_give_back_the_lines_they_were_made_of(lines: list[list[str]]) -> None:
    numbered = [[f"{word}{row}" for word in line] for row, line in enumerate(lines)]
    rolling = [numbered[0], *(above + below for above, below in pairwise(numbered))]
    dropped = without_rolled(rolling)
    assert [caption[count:] for caption, count in zip(rolling, dropped, strict=True)] == numbered


@given(st.lists(st.lists(WORDS, max_size=6), max_size=12))
def test_rolling_never_drops_more_than_there_is(captions: list[list[str]]) -> None:
    assert all(0 <= count <= len(caption) for caption, count in zip(captions, without_rolled(captions), strict=True))
