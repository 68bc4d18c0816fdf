"""What the recorded screen showed of the shot, moment by moment."""

from dataclasses import dataclass
from typing import Literal

SAMPLES_A_SECOND = 5  # moments of a recording that are looked at: 0.0, 0.2, 0.4 ... seconds

Origin = Literal["shown", "logged", "placed"]


@dataclass(frozen=True)
class Area:
    """Where the whole picture of the shot lies, in pixels of the recording; beyond the screen too when zoomed in."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Showing:
    """What was on screen at one moment of the recording.

    `seconds` is the recording's time. `spans` are inclusive ranges of shot frames in the shot's own numbering,
    likeliest first: several where the shot repeats a picture exactly, none where the shot is not on screen.
    `confidence` is the probability (0 to 1) that the first span is right within two frames, or that the shot is absent.
    `area` is None where absent, or where no picture was looked at.
    """

    seconds: float
    spans: tuple[tuple[int, int], ...]
    confidence: float
    area: Area | None = None


@dataclass(frozen=True)
class Playhead:
    """Every moment of a recording in order of time, `SAMPLES_A_SECOND`.

    `source`: "shown" was found in the pictures, "logged" came from a playhead log, "placed" from a stated offset.
    `remarks` say in plain words what to mind, such as damage to the recording.
    """

    showings: tuple[Showing, ...]
    source: Origin
    remarks: tuple[str, ...] = ()
