"""Talk is cut into blocks at pauses, and no talk is lost or heard twice."""

from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from critsheet.media import SAMPLE_RATE
from critsheet.speech.blocks import (
    KEPT_PAUSE_S,
    MAX_BLOCK_S,
    PAD_S,
    Span,
    find_talk,
    plan,
)


def span(start: float, end: float) -> Span:
    return Span(round(start * SAMPLE_RATE), round(end * SAMPLE_RATE))


def seconds(blocks) -> list[list[tuple[float, float]]]:
    return [[(piece.start / SAMPLE_RATE, piece.end / SAMPLE_RATE) for piece in block] for block in blocks]


def test_a_short_talk_is_one_block_with_its_soft_edges() -> None:
    assert seconds(plan([span(2, 5), span(6, 9)], 20 * SAMPLE_RATE)) == [[(2 - PAD_S, 9 + PAD_S)]]


def test_a_long_silence_is_left_out() -> None:
    assert seconds(plan([span(2, 5), span(15, 18)], 20 * SAMPLE_RATE)) == [[(1.6, 5.4), (14.6, 18.4)]]


def test_a_long_talk_is_cut_at_the_longest_pause_near_two_minutes() -> None:
    talk = [span(10 * n, 10 * n + (9.0 if n == 10 else 9.5)) for n in range(30)]
    first = plan(talk, 300 * SAMPLE_RATE)[0]
    assert first[-1].end == round((109 + PAD_S) * SAMPLE_RATE)  # not at one of the shorter pauses around it


def test_no_talk_gives_no_blocks() -> None:
    assert plan([], 100) == []


SPANS = st.lists(st.tuples(st.floats(0.0, 5.0), st.floats(0.1, 50.0)), min_size=1, max_size=40)


@given(SPANS)
def test_blocks_hold_all_talk_once_and_stay_short(gaps: list[tuple[float, float]]) -> None:
    at, talk = 0.0, []
    for gap, length in gaps:
        talk.append(span(at + gap, at + gap + length))
        at += gap + length
    total = round((at + 1) * SAMPLE_RATE)
    blocks = plan(talk, total)
    pieces = [piece for block in blocks for piece in block]
    assert all(left.end <= right.start for left, right in pairwise(pieces))
    assert all(0 <= piece.start < piece.end <= total for piece in pieces)
    assert all(any(p.start <= t.start and t.end <= p.end for p in pieces) for t in talk)
    longest = MAX_BLOCK_S + 2 * PAD_S * 40 + KEPT_PAUSE_S
    assert all(sum(piece.seconds for piece in block) <= longest for block in blocks)


def test_digital_silence_holds_no_talk() -> None:
    told: list[float] = []
    assert find_talk(np.zeros(30 * SAMPLE_RATE, np.float32), told.append) == []
    assert told[-1] == 1.0


def test_a_hum_and_a_hiss_are_not_talk() -> None:
    at = np.arange(20 * SAMPLE_RATE) / SAMPLE_RATE
    hum = (0.05 * np.sin(2 * np.pi * 50 * at)).astype(np.float32)
    hiss = np.random.default_rng(1).normal(0, 0.05, len(at)).astype(np.float32)
    assert find_talk(hum, lambda share: None) == []
    assert find_talk(hiss, lambda share: None) == []
