"""A playhead log of any player or script says which frame was on screen."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_playhead import SHOT

from critsheet.errors import InputError
from critsheet.frames import logs
from critsheet.frames.logs import read_log, to_csv
from critsheet.frames.offset import played_once
from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing
from critsheet.sheet import Shot


@pytest.fixture
def log(tmp_path: Path):
    """Reads a log of this text over a recording of so many seconds; gives the frame at each sample, None for none."""

    def read(text: str, length_s: float = 10.0, shot: Shot = SHOT) -> list[int | None]:
        path = tmp_path / "log.csv"
        path.write_text(text, encoding="utf-8")
        playhead = read_log(path, length_s, shot)
        assert playhead.source == "logged"
        return [showing.spans[0][0] if showing.spans else None for showing in playhead.showings]

    return read


def at(frames: list[int | None], seconds: float) -> int | None:
    return frames[round(seconds * SAMPLES_A_SECOND)]


def test_between_two_rows_the_shot_plays(log) -> None:
    frames = log("seconds,frame\n0,101\n3,173\n")
    assert [at(frames, seconds) for seconds in (0, 1, 1.6, 3)] == [101, 125, 139, 173]


def test_it_plays_backwards_and_scrubs_too(log) -> None:
    frames = log("0,173\n1,149\n2,101\n")
    assert [at(frames, seconds) for seconds in (0.4, 1, 1.4)] == [164, 149, 130]


def test_a_paused_frame_is_held_until_the_jump(log) -> None:
    frames = log("0,120\n6,150\n")
    assert [at(frames, seconds) for seconds in (0, 3, 5.8, 6)] == [120, 120, 120, 150]


def test_a_step_to_the_next_frame_is_a_step(log) -> None:
    frames = log("0,120\n2,121\n4,122\n")
    assert [at(frames, seconds) for seconds in (1.8, 2, 3.8, 4)] == [120, 121, 121, 122]


def test_a_looping_shot_plays_on_past_its_end(log) -> None:
    frames = log("0,101\n1,125\n2,149\n3,173\n4,109\n5,133\n")
    assert [at(frames, seconds) for seconds in (3.4, 3.6, 3.8, 4)] == [182, 187, 104, 109]


def test_a_jump_far_back_is_no_playing(log) -> None:
    frames = log("0,180\n0.4,105\n")
    assert [at(frames, seconds) for seconds in (0.2, 0.4)] == [180, 105]


def test_the_last_frame_is_held_and_nothing_is_known_before_the_first(log) -> None:
    frames = log("2,101\n3,125\n", 6)
    assert frames[:10] == [None] * 10
    assert [at(frames, seconds) for seconds in (2, 3, 6)] == [101, 125, 125]


def test_an_empty_frame_says_that_the_shot_is_not_on_screen(log) -> None:
    frames = log("seconds,frame\n0,120\n1,\n3,130\n")
    assert [at(frames, seconds) for seconds in (0.8, 1, 2.8, 3)] == [120, None, None, 130]


def test_two_rows_of_one_time_are_a_jump(log) -> None:
    frames = log("0,101\n1,125\n1,160\n2,160\n")
    assert [at(frames, seconds) for seconds in (1, 2)] == [160, 160]


def test_frames_of_other_shots_in_the_same_player_are_not_this_shot(log) -> None:
    frames = log("0,50\n1,50\n2,120\n3,120\n")
    assert [at(frames, seconds) for seconds in (0, 1.8, 2, 3)] == [None, None, 120, 120]


def test_a_log_of_frames_that_the_shot_does_not_have_is_refused(log) -> None:
    with pytest.raises(InputError, match=r"101–188.*--frames"):
        log("0,1\n1,25\n")


def test_without_known_numbering_every_frame_counts(log) -> None:
    assert log("0,1001\n", 1, Shot()) == [1001] * 6


def test_a_byte_order_mark_spaces_and_windows_lines_are_fine(log) -> None:
    assert log("\ufeffSeconds, Frame\r\n\r\n0, 120\r\n", 0.4) == [120, 120, 120]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("seconds,frame\n0,101\nx,102\n", "line 3: 'x' is not a time"),
        ("0,101\n1,a\n", "line 2: 'a' is no frame"),
        ("0,101\n1,102.5\n", "line 2: '102.5' is no frame"),
        ("0,101\n-1,102\n", "line 2: '-1' is not a time"),
        ("0,101\nnan,102\n", "line 2: 'nan' is not a time"),
        ("0,101\n99999,102\n", "line 2: '99999' is not a time"),
        ("2,101\n1,102\n", "line 2: the time goes back to 1 s"),
        ("0,101\n1\n", "line 2: 1 values"),
        ("0,101,102\n", "line 1: 3 values"),
        ("0,101\n1,102,103,0.5\n", "line 2: 4 values"),
        ("0,110,105,0.5\n", "line 1: frames 110 to 105 run backwards"),
        ("0,101,102,1.5\n", "line 1: '1.5' is not a confidence"),
        ("0,99999999\n", "line 1: '99999999' is no frame"),
        ("", "is empty"),
        ("seconds,frame\n", "No frame"),
        ('0,"101\n', "is not a playhead log"),
    ],
)
def test_a_mistake_is_named_with_its_line_and_a_way_out(log, text: str, says: str) -> None:
    with pytest.raises(InputError) as error:
        log(text)
    assert says in str(error.value)
    assert error.value.hint
    assert "\n" not in str(error.value)


def test_what_is_no_text_or_far_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "log.csv"
    for content in (b"\xff\xfe\x00", b"\x00" * 10):
        path.write_bytes(content)
        with pytest.raises(InputError):
            read_log(path, 1, SHOT)
    monkeypatch.setattr(logs, "MAX_LOG_BYTES", 20)
    path.write_text("0,120\n" * 10)
    with pytest.raises(InputError, match="too large"):
        read_log(path, 1, SHOT)
    with pytest.raises(InputError, match="Cannot read"):
        read_log(tmp_path / "none.csv", 1, SHOT)


SAMPLE = st.tuples(st.none() | st.tuples(st.integers(101, 188), st.integers(0, 20)), st.integers(0, 1000))


@settings(deadline=None)
@given(st.lists(SAMPLE, min_size=1, max_size=40).filter(lambda rows: any(span for span, _ in rows)))
def test_we_read_what_we_write(tmp_path_factory: pytest.TempPathFactory, rows) -> None:
    """The form of `critsheet frames`: seconds,first,last,confidence, five rows a second."""
    showings = tuple(
        Showing(n / SAMPLES_A_SECOND, ((span[0], min(188, sum(span))),) if span else (), sure / 1000)
        for n, (span, sure) in enumerate(rows)
    )
    path = tmp_path_factory.mktemp("log") / "playhead.csv"
    path.write_text(to_csv(Playhead(showings, "shown")))
    again = read_log(path, (len(rows) - 1) / SAMPLES_A_SECOND, SHOT)
    assert again == Playhead(showings, "logged")


def test_the_log_we_write_has_one_plain_line_a_sample() -> None:
    two = (Showing(0.0, ((142, 143), (160, 161)), 0.5), Showing(0.2, (), 0.97))
    assert to_csv(Playhead(two, "shown")) == "seconds,first,last,confidence\n0.0,142,143,0.500\n0.2,,,0.970\n"


def test_a_shot_played_once_from_its_offset_on() -> None:
    playhead = played_once(2.0, 7.0, SHOT)
    frames = [showing.spans[0][0] if showing.spans else None for showing in playhead.showings]
    assert [at(frames, seconds) for seconds in (1.8, 2, 3, 5.6, 5.8)] == [None, 101, 125, 187, None]
    assert playhead.source == "placed"


def test_frames_at_25_a_second_fall_exactly_on_the_samples() -> None:
    """0.2 s are five frames: a rounding error would give the one before."""
    frames = [showing.spans[0][0] for showing in played_once(0.2, 20.0, Shot(fps="25", first=1)).showings[1:]]
    assert frames == [1 + 5 * number for number in range(100)]
