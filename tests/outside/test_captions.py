"""Captions against other people's programs: webvtt-py and pysubs2 read what we write, and we read what they write."""

import html
from io import StringIO
from itertools import pairwise
from pathlib import Path

import pysubs2
import pytest
import webvtt
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from critsheet.render.captions import to_webvtt
from critsheet.sheet import Segment, Transcript, Word
from critsheet.speech import read_captions

SPOKEN = st.text("abcdefghijklmnopqrstuvwxyzé.,?!'-0123456789", min_size=1, max_size=12).filter(
    lambda text: any(character.isalpha() for character in text)
)


@st.composite
def transcripts(draw: st.DrawFn) -> Transcript:
    """Talk with any words and pauses."""
    at, segments = 0.0, []
    for texts in draw(st.lists(st.lists(SPOKEN, min_size=1, max_size=30), min_size=1, max_size=6)):
        words = []
        for text in texts:
            start = at + draw(st.integers(0, 3000)) / 1000
            at = start + draw(st.integers(50, 900)) / 1000
            words.append(Word(start=round(start, 3), end=round(at, 3), text=text))
        segments.append(Segment(start=words[0].start, end=at, text=" ".join(texts), words=tuple(words)))
    return Transcript(language="en", segments=tuple(segments))


quick = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@quick
@given(transcripts())
def test_webvtt_py_reads_our_captions(transcript: Transcript) -> None:
    captions = list(webvtt.from_string(to_webvtt(transcript)))
    read = " ".join(caption.text.replace("\n", " ") for caption in captions)
    assert read.split() == [word.text for word in transcript.words]
    assert all(caption.start_in_seconds <= caption.end_in_seconds for caption in captions)
    assert all(left.end_in_seconds <= right.start_in_seconds for left, right in pairwise(captions))


@quick
@given(transcripts())
def test_pysubs2_reads_our_captions(transcript: Transcript) -> None:
    events = pysubs2.SSAFile.from_string(to_webvtt(transcript), format_="vtt").events
    said = " ".join(event.plaintext for event in events)
    assert said.split() == [word.text for word in transcript.words]
    assert events[0].start == pytest.approx(1000 * transcript.words[0].start, abs=1)


def test_angle_brackets_and_ampersands_come_back(tmp_path: Path) -> None:
    texts = ["<b>", "R&D", "a<b", "&amp;"]
    words = tuple(Word(start=n, end=n + 0.5, text=text) for n, text in enumerate(texts))
    ours = to_webvtt(Transcript(language="en", segments=(Segment(start=0, end=4, text=" ".join(texts), words=words),)))
    read = " ".join(caption.text for caption in webvtt.from_string(ours))
    assert html.unescape(read).split() == texts
    path = tmp_path / "ours.vtt"
    path.write_text(ours, encoding="utf-8")
    assert [word.text for word in read_captions(path).words] == texts


@quick
@given(transcripts())
def test_we_read_our_own_captions(tmp_path: Path, transcript: Transcript) -> None:
    path = tmp_path / "ours.vtt"
    path.write_text(to_webvtt(transcript), encoding="utf-8")
    assert [word.text for word in read_captions(path).words] == [word.text for word in transcript.words]


@pytest.mark.parametrize("form", ["srt", "vtt"])
@quick
@given(lines=st.lists(st.lists(SPOKEN, min_size=1, max_size=8), min_size=1, max_size=12))
def test_we_read_what_pysubs2_writes(tmp_path: Path, form: str, lines: list[list[str]]) -> None:
    document = pysubs2.SSAFile()
    for number, words in enumerate(lines):
        text = f"n{number} " + " ".join(words)
        document.append(pysubs2.SSAEvent(start=2000 * number + 7, end=2000 * number + 1500, text=text))
    path = tmp_path / f"theirs.{form}"
    document.save(str(path), format_=form)
    transcript = read_captions(path)
    assert [segment.text for segment in transcript.segments] == [f"n{n} " + " ".join(w) for n, w in enumerate(lines)]
    assert [(s.start, s.end) for s in transcript.segments] == [(2 * n + 0.007, 2 * n + 1.5) for n in range(len(lines))]


@quick
@given(lines=st.lists(st.lists(SPOKEN, min_size=1, max_size=8), min_size=1, max_size=12))
def test_we_read_what_webvtt_py_writes(tmp_path: Path, lines: list[list[str]]) -> None:
    document = webvtt.WebVTT()
    for number, words in enumerate(lines):
        text = f"n{number} " + " ".join(words)
        document.captions.append(webvtt.Caption(f"00:{number:02}:01.250", f"00:{number:02}:04.500", text))
    out = StringIO()
    document.write(out)
    path = tmp_path / "theirs.vtt"
    path.write_text(out.getvalue(), encoding="utf-8")
    transcript = read_captions(path)
    assert [segment.text for segment in transcript.segments] == [f"n{n} " + " ".join(w) for n, w in enumerate(lines)]
    assert [segment.start for segment in transcript.segments] == [60 * n + 1.25 for n in range(len(lines))]
