"""What a said frame range is, and which numbers can be frames of a shot."""

from dataclasses import dataclass

from critsheet.sheet import Shot

UNKNOWN_LAST = 9999
"""Where nobody gave the shot's length: productions number frames in four digits at most."""


@dataclass(frozen=True)
class SaidFrames:
    """Frames that were said as numbers in words [start, end); both `first` and `last` belong to them.

    `approximate` where the mentor said it roughly ("about 40"); `doubt` says in plain words what to check.
    """

    start: int
    end: int
    first: int
    last: int
    approximate: bool = False
    doubt: str | None = None


def order_said(frames: SaidFrames) -> tuple[int, int]:
    """The key that sorts frames in the order they were said."""
    return frames.start, frames.end


@dataclass(frozen=True)
class Bounds:
    """The shot's frames; `known` where both ends were given."""

    first: int
    last: int
    known: bool

    @classmethod
    def of(cls, shot: Shot) -> "Bounds":
        """The bounds of a shot, as wide as they can be where an end is not given."""
        known = shot.first is not None and shot.last is not None
        return cls(shot.first or 0, UNKNOWN_LAST if shot.last is None else shot.last, known)

    def hold(self, value: int) -> bool:
        """Whether `value` is a frame of the shot."""
        return self.first <= value <= self.last

    def doubt(self, first: int, last: int) -> str | None:
        """What to say of frames that are not all in the shot; None where they are."""
        if self.hold(first) and self.hold(last):
            return None
        said = f"frame {first}" if first == last else f"frames {first} to {last}"
        return f"{said} said, but the shot runs from {self.first} to {self.last}"
