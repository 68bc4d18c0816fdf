"""A recording that is the shot played once, from a stated second of the recording on."""

from fractions import Fraction

from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing
from critsheet.frames.timebase import TimeBase
from critsheet.sheet import Shot


def played_once(offset_s: float, length_s: float, shot: Shot) -> Playhead:
    """The playhead of a recording of `length_s` seconds whose shot starts at `offset_s`, source "placed".

    Before the shot's start and after its end it is not on screen; without a known end it runs as long as the recording.
    """
    base = TimeBase(shot.rate, 1 if shot.first is None else shot.first)
    # Exactly: binary fractions of a second would put every fifth frame at 25 a second one too low.
    offset = Fraction(offset_s).limit_denominator(1000)
    showings = []
    for number in range(int(length_s * SAMPLES_A_SECOND) + 1):
        seconds = Fraction(number, SAMPLES_A_SECOND) - offset
        frame = base.frame_at(seconds)
        on = seconds >= 0 and (shot.last is None or frame <= shot.last)
        showings.append(Showing(number / SAMPLES_A_SECOND, ((frame, frame),) if on else (), 1.0))
    return Playhead(tuple(showings), "placed")
