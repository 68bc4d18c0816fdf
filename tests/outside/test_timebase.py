"""The time base against published values and against OpenTimelineIO.

Sources: SMPTE ST 12-1:2014 (labels and drop-frame) and RFC 5484 (2009), "Associating Time-Codes with RTP
Streams", for the drop-frame rule; ISO 491 (35 mm film, 16 frames a foot) and ISO 69 (16 mm film, 40 frames a
foot); OpenTimelineIO (Apache-2.0, https://opentimeline.io), `RationalTime.to_timecode`. The frame numbers in
the table follow from the published rule: 30 x seconds + frames - 2 x (minutes - tens of minutes).
"""

from fractions import Fraction

import pytest
from opentimelineio.opentime import RationalTime

from critsheet.errors import InputError
from critsheet.frames.timebase import TimeBase, counting_base, from_feet, from_timecode, to_feet, to_timecode

NTSC = Fraction(30000, 1001)
NTSC_60 = Fraction(60000, 1001)
STANDARD = {
    Fraction(24000, 1001): 24, Fraction(24): 24, Fraction(25): 25, NTSC: 30, Fraction(30): 30, Fraction(48): 48,
    Fraction(50): 50, NTSC_60: 60, Fraction(60): 60,
}  # fmt: skip
DAY_S = 24 * 60 * 60
SAMPLING = 997
"""A prime, so that samples fall on every second of the minute and every frame of the second."""


def test_counting_bases_of_the_standard_rates() -> None:
    assert {rate: counting_base(rate) for rate in STANDARD} == STANDARD


@pytest.mark.parametrize(
    ("label", "index"),
    [
        ("00:00:00;00", 0), ("00:00:59;29", 1799), ("00:01:00;02", 1800), ("00:01:59;29", 3597), ("00:02:00;02", 3598),
        ("00:09:59;29", 17981), ("00:10:00;00", 17982), ("00:10:00;01", 17983), ("00:11:00;02", 19782),
        ("00:59:59;29", 107891), ("01:00:00;00", 107892), ("10:00:00;00", 1078920), ("23:59:59;29", 2589407),
    ],
)  # fmt: skip
def test_drop_frame_labels_at_29_97(label: str, index: int) -> None:
    assert to_timecode(index, NTSC, drop=True) == label
    assert from_timecode(label, NTSC) == index


@pytest.mark.parametrize(
    ("label", "index"),
    [("00:00:59;59", 3599), ("00:01:00;04", 3600), ("00:10:00;00", 35964), ("01:00:00;00", 215784)],
)
def test_drop_frame_labels_at_59_94(label: str, index: int) -> None:
    assert to_timecode(index, NTSC_60, drop=True) == label
    assert from_timecode(label, NTSC_60) == index


@pytest.mark.parametrize(
    ("label", "rate"),
    [("00:01:00;00", NTSC), ("00:01:00;01", NTSC), ("00:01:00;03", NTSC_60), ("00:59:00;00", NTSC)],
)
def test_dropped_labels_do_not_exist(label: str, rate: Fraction) -> None:
    with pytest.raises(InputError):
        from_timecode(label, rate)


def test_a_day_of_drop_frame_is_whole_and_86_milliseconds_ahead() -> None:
    assert to_timecode(2589408, NTSC, drop=True) == "00:00:00;00"
    assert to_timecode(5178816, NTSC_60, drop=True) == "00:00:00;00"
    ahead = DAY_S - 2589408 / NTSC
    assert ahead == Fraction(864, 10_000)


def test_an_hour_of_labels_without_drop_lasts_3603_6_seconds() -> None:
    assert TimeBase(NTSC, first=0).start_of(from_timecode("01:00:00:00", NTSC)) == Fraction(36036, 10)


def test_feet_and_frames_of_35_mm_film() -> None:
    assert [to_feet(index) for index in (16, 24, 88, 104, 1440)] == ["1+00", "1+08", "5+08", "6+08", "90+00"]
    assert TimeBase(Fraction(24), first=0).start_of(from_feet("90+00")) == 60


def test_feet_and_frames_of_16_mm_film() -> None:
    assert [to_feet(index, "16 mm") for index in (39, 40, 1440)] == ["0+39", "1+00", "36+00"]
    assert TimeBase(Fraction(24), first=0).start_of(from_feet("36+00", "16 mm")) == 60


def test_a_shot_counts_both_its_ends() -> None:
    assert TimeBase(Fraction(24), first=1001).frame_from_timecode("00:00:04:03") == 1100
    assert TimeBase(Fraction(24), first=101).frame_from_timecode("00:00:03:15") == 188


@pytest.mark.parametrize("rate", STANDARD)
def test_every_sampled_label_of_a_day_is_opentimelineios(rate: Fraction) -> None:
    for index in range(0, int(DAY_S * rate), SAMPLING):  # of real time: there its labels start again
        label = RationalTime(index, float(rate)).to_timecode(float(rate), drop_frame=False)
        assert to_timecode(index, rate) == label
        assert from_timecode(label, rate) == index


@pytest.mark.parametrize(("rate", "day"), [(NTSC, 2589408), (NTSC_60, 5178816)])
def test_every_sampled_drop_frame_label_of_a_day_is_opentimelineios(rate: Fraction, day: int) -> None:
    around_minutes = {index for minute in range(0, 1440) for index in _around(minute, rate, day)}
    for index in sorted({*range(0, day, SAMPLING), *around_minutes}):
        label = RationalTime(index, float(rate)).to_timecode(float(rate), drop_frame=True)
        assert to_timecode(index, rate, drop=True) == label
        assert from_timecode(label, rate) == index


def _around(minute: int, rate: Fraction, day: int) -> range:
    start = int(minute * 60 * rate)
    return range(max(0, start - 3), min(day, start + 4))
