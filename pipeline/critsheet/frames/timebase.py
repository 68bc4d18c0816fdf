"""The shot's clock, exactly: frame rates as fractions, frame numbers, timecode, feet and frames, drawings.

An *index* counts frames from 0 at the shot's start; a *frame* is the number the production gives it, from
the shot's first frame on. Rates and drop-frame labels follow SMPTE ST 12-1:2014 (see also RFC 5484).
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import Literal

from critsheet.errors import InputError

Gauge = Literal["35 mm", "16 mm"]

SLOWEST, FASTEST = Fraction(1), Fraction(120)
"""Frames a second: drawn and puppet shots are shot at 12 or 15 too, screens recorded at up to 120."""

FRAMES_A_FOOT: dict[Gauge, int] = {"35 mm": 16, "16 mm": 40}
"""35 mm film with four perforations a frame (ISO 491) and 16 mm film (ISO 69)."""

_PULLED_DOWN = Fraction(1000, 1001)
"""Colour television slowed the whole rates by this factor: 24, 30, 48, 60, 120 (SMPTE ST 12-1)."""

_CLOSE = Fraction(1, 150)
"""How near a decimal must be to a slowed rate to mean it: people write 23.976, 23.98, 29.97, 59.94, 119.88."""

_LABELS_DROPPED = {Fraction(30000, 1001): 2, Fraction(60000, 1001): 4}
"""Frame labels that drop-frame timecode skips at each minute but every tenth (SMPTE ST 12-1)."""

_TIMECODE = re.compile(r"(\d\d):([0-5]\d):([0-5]\d)([:;])(\d{2,3})")
_FEET = re.compile(r"(\d+)\+(\d\d)")


def parse_rate(text: str) -> Fraction:
    """The exact rate that a user means: "24", "25.0", "24000/1001", "23.976" (which is 24000/1001).

    Raises InputError for text that is no rate, or one outside 1 to 120 frames a second.
    """
    way_out = "Give frames a second such as 24, 25, 29.97 or 24000/1001."
    try:
        rate = Fraction(text.strip())
    except (ValueError, ZeroDivisionError) as error:
        raise InputError(f"{text!r} is no frame rate.", way_out) from error
    slowed = ceil(rate) * _PULLED_DOWN
    if "/" not in text and rate.denominator != 1 and abs(rate - slowed) < _CLOSE:
        rate = slowed
    if not SLOWEST <= rate <= FASTEST:
        raise InputError(f"{text!r} frames a second is outside 1 to 120.", way_out)
    return rate


def counting_base(rate: Fraction) -> int:
    """Frame labels in a second of timecode: 24 for 23.976, 30 for 29.97 (SMPTE ST 12-1)."""
    return ceil(rate)


def to_timecode(index: int, rate: Fraction, *, drop: bool = False) -> str:
    """The label of a frame index, HH:MM:SS:FF, or HH:MM:SS;FF with `drop`; it starts again after 24 hours.

    Raises ValueError for a negative index, and for `drop` at a rate other than 29.97 and 59.94.
    """
    if index < 0:
        raise ValueError("a frame index is never negative")
    base = counting_base(rate)
    label = index
    if drop:
        skipped = _labels_dropped(rate)
        in_minute, in_ten = 60 * base - skipped, 600 * base - 9 * skipped
        tens, rest = divmod(index, in_ten)
        minutes = 0 if rest < 60 * base else 1 + (rest - 60 * base) // in_minute
        label = index + skipped * (9 * tens + minutes)
    seconds, frames = divmod(label, base)
    minutes_all, second = divmod(seconds, 60)
    hour, minute = divmod(minutes_all, 60)
    return f"{hour % 24:02}:{minute:02}:{second:02}{';' if drop else ':'}{frames:02}"


def from_timecode(text: str, rate: Fraction) -> int:
    """The frame index of a label; a semicolon before the frames marks drop-frame.

    Raises InputError for text that is no timecode, and for labels that do not exist at this rate.
    """
    match = _TIMECODE.fullmatch(text.strip())
    if match is None or int(match[1]) > 23:
        raise InputError(f"{text!r} is no timecode.", "Write it as hours:minutes:seconds:frames, 00:00:07:12.")
    hour, minute, second, frames = (int(match[group]) for group in (1, 2, 3, 5))
    base, drop = counting_base(rate), match[4] == ";"
    if drop and rate not in _LABELS_DROPPED:
        raise InputError(f"{text!r}: drop-frame exists at 29.97 and 59.94 only.", "Write a colon before the frames.")
    skipped = _LABELS_DROPPED[rate] if drop else 0
    if frames >= base or (frames < skipped and second == 0 and minute % 10):
        raise InputError(f"No frame is labelled {text} at {float(rate):.5g} frames a second.", "Check the frames.")
    minutes = 60 * hour + minute
    return base * (60 * minutes + second) + frames - skipped * (minutes - minutes // 10)


def _labels_dropped(rate: Fraction) -> int:
    if rate not in _LABELS_DROPPED:
        raise ValueError("drop-frame exists at 29.97 and 59.94 only")
    return _LABELS_DROPPED[rate]


def to_feet(index: int, gauge: Gauge = "35 mm") -> str:
    """A frame index as feet+frames counted from 0+00: 104 on 35 mm is "6+08". Raises ValueError below 0."""
    if index < 0:
        raise ValueError("a frame index is never negative")
    feet, frames = divmod(index, FRAMES_A_FOOT[gauge])
    return f"{feet}+{frames:02}"


def from_feet(text: str, gauge: Gauge = "35 mm") -> int:
    """The frame index of feet+frames counted from 0+00. Raises InputError where that is not a length of film."""
    match = _FEET.fullmatch(text.strip())
    if match is None or int(match[2]) >= FRAMES_A_FOOT[gauge]:
        raise InputError(
            f"{text!r} is no length of {gauge} film.",
            f"Write feet+frames, frames up to {FRAMES_A_FOOT[gauge] - 1}: 6+08.",
        )
    return int(match[1]) * FRAMES_A_FOOT[gauge] + int(match[2])


@dataclass(frozen=True)
class TimeBase:
    """A shot's rate and the number of its first frame."""

    rate: Fraction
    first: int = 1

    def frame_at(self, seconds: Fraction | float) -> int:
        """The frame on screen at a time from the shot's start; below `first` before it."""
        return self.first + floor(Fraction(seconds) * self.rate)

    def start_of(self, frame: int) -> Fraction:
        """Exact seconds from the shot's start at which a frame appears."""
        return Fraction(frame - self.first) / self.rate

    def timecode(self, frame: int, *, drop: bool = False) -> str:
        """A frame's label, 00:00:00:00 at the first frame. Raises ValueError before it."""
        return to_timecode(frame - self.first, self.rate, drop=drop)

    def frame_from_timecode(self, text: str) -> int:
        """The frame with a label, 00:00:00:00 at the first frame. Raises InputError for a wrong label."""
        return self.first + from_timecode(text, self.rate)

    def feet(self, frame: int, gauge: Gauge = "35 mm") -> str:
        """A frame as feet+frames, 0+00 at the first frame. Raises ValueError before it."""
        return to_feet(frame - self.first, gauge)

    def frame_from_feet(self, text: str, gauge: Gauge = "35 mm") -> int:
        """The frame at feet+frames, 0+00 at the first frame. Raises InputError where there is no such length."""
        return self.first + from_feet(text, gauge)

    def drawing_at(self, frame: int, on: int) -> int:
        """The number, from 1, of the drawing shown at a frame, each held for `on` frames (2 for twos)."""
        return (frame - self.first) // on + 1

    def frames_of_drawing(self, number: int, on: int) -> tuple[int, int]:
        """First and last frame of a drawing held for `on` frames: drawing 17 on twos from 1 is 33 to 34."""
        start = self.first + (number - 1) * on
        return start, start + on - 1
