"""Chapters as webvtt-py reads them; its parser follows the W3C grammar (WebVTT, Candidate Recommendation, 2019)."""

from itertools import pairwise

import pytest
import webvtt
from hypothesis import given, settings
from hypothesis import strategies as st

from critsheet.render.chapters import to_chapters, to_shot_chapters
from critsheet.sheet import FrameRange, Moment, Note, Recording, Review, Sheet, Shot, Transcript

SPANS = st.lists(st.tuples(st.integers(101, 180), st.integers(0, 30)), max_size=8)


def sheet(spans: list[tuple[int, int]]) -> Sheet:
    """A note on each span of frames, spoken in as many seconds from as many seconds on."""
    notes = tuple(
        Note(
            id=f"n{rank}",
            kind="fix",
            category="arcs",
            moments=(Moment(start=first, end=first + length + 0.25, quote=""),),
            frames=(FrameRange(first=first, last=first + length),),
            action=f"Do {rank} & <that>.",
            rank=rank,
        )
        for rank, (first, length) in enumerate(spans, start=1)
    )
    review = Review(title="Lift", recording=Recording(file="talk.mp4", sha256="0" * 64, duration=300))
    shot, talk = Shot(first=101, last=210), Transcript(language="en", segments=())
    return Sheet(id="s1", made="2026-01-31T10:00:00Z", review=review, shot=shot, transcript=talk, notes=notes)


@settings(deadline=None)
@given(SPANS)
def test_webvtt_py_finds_each_note_at_its_time_on_both_clocks(spans: list[tuple[int, int]]) -> None:
    for text, clock in (
        (to_chapters(sheet(spans)), lambda first, length: (first, first + length + 0.25)),
        (to_shot_chapters(sheet(spans)), lambda first, length: ((first - 101) / 24, (first + length - 100) / 24)),
    ):
        cues = list(webvtt.from_string(text))
        assert all(one.end_in_seconds <= two.start_in_seconds for one, two in pairwise(cues))
        for rank, (first, length) in enumerate(spans, start=1):
            named = [cue for cue in cues if f". Do {rank} &amp; &lt;that&gt;." in cue.text]
            starts, ends = clock(first, length)
            assert _s(named[0].start) == pytest.approx(starts, abs=0.001)
            assert _s(named[-1].end) == pytest.approx(ends, abs=0.001)
            assert all(one.end == two.start for one, two in pairwise(named)), "cut, but without a gap"


def _s(time: str) -> float:
    hours, minutes, seconds = time.split(":")
    return 3600 * int(hours) + 60 * int(minutes) + float(seconds)
