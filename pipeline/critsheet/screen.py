"""The part of a sheet that comes from pictures: what the recording showed of the shot, and the stills cut from it."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

Seconds = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Pixels = Annotated[int, Field(ge=1, le=16_384)]


class Strict(BaseModel):
    """A part of the sheet: unknown keys are errors, and nothing changes once it is made."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class ScreenRun(Strict):
    """A stretch of the recording in which the shot ran evenly from frame `first` to frame `last`.

    It stood still where the two are one, ran backwards where `last` is the smaller, and was not on screen, or not
    known to be, where both are None.
    """

    start: Seconds
    end: Seconds
    first: int | None = None
    last: int | None = None

    @model_validator(mode="after")
    def _whole(self) -> "ScreenRun":
        if self.end < self.start or (self.first is None) != (self.last is None):
            raise ValueError("a run on screen ends after it starts, and has two frames or none")
        return self


class OnScreen(Strict):
    """What the recording showed of the shot from its start to its end, in runs that follow each other.

    `source`: "shown" was found in the pictures, "logged" came from a playhead log, "placed" from a stated offset.
    """

    source: Literal["shown", "logged", "placed"]
    runs: tuple[ScreenRun, ...]


class Still(Strict):
    """A picture beside the sheet, `file` relative to it.

    `kind`: "screen" is the shot's picture in the recording at `seconds`, with whatever was drawn on it; "frame" is
    the same frame of the shot, clean; "strip" shows `frames` of the shot side by side.
    """

    file: Annotated[str, Field(pattern=r"^stills/[a-z0-9-]{1,80}\.webp$")]
    kind: Literal["screen", "frame", "strip"]
    frames: Annotated[tuple[int, ...], Field(min_length=1)]
    seconds: Seconds | None = None
    width: Pixels
    height: Pixels
