"""What was on screen, as few runs: a map of the recording that a reader takes in at a glance."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from invented_playhead import away, paused, playhead, playing

from critsheet.frames.screen_runs import TOLERANCE, on_screen
from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing


def test_playing_pausing_and_leaving_are_a_run_each() -> None:
    runs = on_screen(playhead((3, playing(101)), (4, paused(142)), (2, away), (2, playing(160, -1.0)))).runs
    assert [(run.start, run.end, run.first, run.last) for run in runs] == [
        (0.0, 3.0, 101, 168),
        (3.0, 7.0, 142, 142),
        (7.0, 9.0, None, None),
        (9.0, 11.0, 160, 117),
    ]


def test_ten_minutes_of_looping_take_a_run_a_loop() -> None:
    runs = on_screen(playhead((600, playing(101)))).runs
    assert len(runs) < 600 / (88 / 24) * 1.2


SPANS = st.none() | st.tuples(st.integers(1, 400), st.integers(0, 3))


@settings(deadline=None)
@given(st.lists(SPANS, min_size=1, max_size=80))
def test_runs_follow_each_other_and_stay_near_every_sample(spans: list[tuple[int, int] | None]) -> None:
    showings = tuple(
        Showing(n / SAMPLES_A_SECOND, ((span[0], sum(span)),) if span else (), 1.0) for n, span in enumerate(spans)
    )
    runs = on_screen(Playhead(showings, "shown")).runs
    assert runs[0].start == 0
    assert runs[-1].end == round(len(spans) / SAMPLES_A_SECOND, 3)
    assert all(one.end == two.start for one, two in pairwise(runs))
    for showing in showings:
        run = next(run for run in runs if run.start <= showing.seconds < run.end)
        assert (run.first is None) == (not showing.spans)
        if showing.spans:
            samples = round((run.end - run.start) * SAMPLES_A_SECOND)
            place = round((showing.seconds - run.start) * SAMPLES_A_SECOND)
            frame = run.first + (run.last - run.first) * place / max(1, samples - 1)
            first, last = showing.spans[0]
            assert first - 2 * TOLERANCE - 1 <= frame <= last + 2 * TOLERANCE + 1
