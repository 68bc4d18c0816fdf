"""The shot's clock."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from critsheet.errors import InputError
from critsheet.frames.timebase import TimeBase, from_feet, from_timecode, parse_rate, to_feet, to_timecode

NTSC = Fraction(30000, 1001)
RATES = [
    Fraction(24000, 1001), Fraction(24), Fraction(25), NTSC, Fraction(30), Fraction(48000, 1001), Fraction(48),
    Fraction(50), Fraction(60000, 1001), Fraction(60), Fraction(100), Fraction(120000, 1001), Fraction(120),
]  # fmt: skip
DAY_S = 24 * 60 * 60


@pytest.mark.parametrize(
    ("text", "rate"),
    [
        ("24", Fraction(24)),
        ("25.0", Fraction(25)),
        ("23.976", Fraction(24000, 1001)),
        ("23.98", Fraction(24000, 1001)),
        ("24000/1001", Fraction(24000, 1001)),
        ("29.97", NTSC),
        ("47.952", Fraction(48000, 1001)),
        ("59.94", Fraction(60000, 1001)),
        ("119.88", Fraction(120000, 1001)),
        ("24.5", Fraction(49, 2)),
        ("120", Fraction(120)),
    ],
)
def test_a_rate_is_exact_however_it_is_written(text: str, rate: Fraction) -> None:
    assert parse_rate(text) == rate


@pytest.mark.parametrize("text", ["", "fast", "0", "-24", "0.5", "121", "1/0", "nan", "inf"])
def test_what_is_no_rate_is_refused_with_a_way_out(text: str) -> None:
    with pytest.raises(InputError) as error:
        parse_rate(text)
    assert "24" in error.value.hint


@pytest.mark.parametrize("text", ["00:00:60:00", "1:2:3:4", "00:00:00:24", "24:00:00:00", "00:00:01;00", "noon"])
def test_a_label_that_does_not_exist_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        from_timecode(text, Fraction(24))


def test_drop_frame_exists_at_two_rates_only() -> None:
    with pytest.raises(ValueError, match="drop-frame"):
        to_timecode(0, Fraction(24000, 1001), drop=True)


@given(st.sampled_from(RATES), st.data())
def test_timecode_goes_both_ways(rate: Fraction, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, DAY_S * int(rate) - 1))
    assert from_timecode(to_timecode(index, rate), rate) == index


@given(st.sampled_from([NTSC, Fraction(60000, 1001)]), st.data())
def test_drop_frame_timecode_goes_both_ways(rate: Fraction, data: st.DataObject) -> None:
    day = 2589408 * (2 if rate > 30 else 1)
    index = data.draw(st.integers(0, day - 1))
    assert from_timecode(to_timecode(index, rate, drop=True), rate) == index


@given(st.integers(0, 10**6), st.sampled_from(["35 mm", "16 mm"]))
def test_feet_go_both_ways(index: int, gauge: str) -> None:
    assert from_feet(to_feet(index, gauge), gauge) == index  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["6+16", "six", "6+8", "-1+00"])
def test_what_is_no_length_of_film_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        from_feet(text)


def test_a_frame_before_the_shot_has_no_label() -> None:
    base = TimeBase(Fraction(24), first=101)
    for label in (base.timecode, base.feet):
        with pytest.raises(ValueError, match="negative"):
            label(100)


@pytest.mark.parametrize("first", [0, 1, 101, 1001])
def test_a_shot_counts_from_its_first_frame(first: int) -> None:
    base = TimeBase(Fraction(24), first)
    assert base.timecode(first) == "00:00:00:00"
    assert base.feet(first) == "0+00"
    assert base.frame_from_timecode("00:00:01:12") == first + 36
    assert base.frame_from_feet("5+08") == first + 88
    assert base.frame_at(1.5) == first + 36


@given(st.sampled_from(RATES), st.integers(0, 1001), st.integers(0, 10**6))
def test_a_frame_is_on_screen_from_its_start_until_the_next(rate: Fraction, first: int, index: int) -> None:
    base = TimeBase(rate, first)
    start = base.start_of(first + index)
    assert base.frame_at(start) == first + index
    assert base.frame_at(start - Fraction(1, 10**9)) == first + index - 1


@pytest.mark.parametrize(("on", "frames"), [(1, (17, 17)), (2, (33, 34)), (3, (49, 51))])
def test_drawing_seventeen_on_ones_twos_and_threes(on: int, frames: tuple[int, int]) -> None:
    assert TimeBase(Fraction(24), 1).frames_of_drawing(17, on) == frames


@given(st.integers(0, 1001), st.integers(1, 3), st.integers(1, 10**5))
def test_a_drawing_is_shown_at_all_its_frames_and_no_others(first: int, on: int, number: int) -> None:
    base = TimeBase(Fraction(24), first)
    start, end = base.frames_of_drawing(number, on)
    assert [base.drawing_at(frame, on) for frame in range(start, end + 1)] == [number] * on
    assert base.drawing_at(end + 1, on) == number + 1
