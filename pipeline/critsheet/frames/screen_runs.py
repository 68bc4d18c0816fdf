"""What was on screen in few runs instead of five samples a second: for a map of the recording."""

from dataclasses import dataclass

from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing
from critsheet.screen import OnScreen, ScreenRun

TOLERANCE = 1.5
"""Frames by which a run may miss a sample: played at 24 a second, whole frames leave a straight line by one."""

STANDS = 3
"""Samples after which a picture that stood still has stood: what moves then is a run of its own."""


def on_screen(playhead: Playhead) -> OnScreen:
    """The playhead as runs, each with no gap to the next, in which the shot plays evenly, stands, or is not there."""
    runs: list[ScreenRun] = []
    line: _Line | None = None
    for showing in playhead.showings:
        if line is None or not line.takes(showing):
            runs += [line.run()] if line else []
            line = _Line(showing)
    return OnScreen(source=playhead.source, runs=(*runs, *([line.run()] if line else ())))


@dataclass
class _Line:
    """A straight line through samples, kept as the slopes (frames a sample) that still pass near all of them."""

    start: Showing
    samples: int = 1
    flattest: float = float("-inf")
    steepest: float = float("inf")

    def takes(self, showing: Showing) -> bool:
        """Whether the line goes on through a further sample; if so it now does."""
        if bool(showing.spans) != bool(self.start.spans):
            return False
        if showing.spans:
            first, last = showing.spans[0]
            begin = self._begin
            flattest = max(self.flattest, (first - TOLERANCE - begin) / self.samples)
            steepest = min(self.steepest, (last + TOLERANCE - begin) / self.samples)
            stood = self.samples >= STANDS and self._stands
            if flattest > steepest or (stood and not flattest <= 0.0 <= steepest):
                return False
            self.flattest, self.steepest = flattest, steepest
        self.samples += 1
        return True

    def run(self) -> ScreenRun:
        """The line as a run, over the time up to the sample after its last."""
        start = self.start.seconds
        end = round(start + self.samples / SAMPLES_A_SECOND, 3)
        if not self.start.spans:
            return ScreenRun(start=start, end=end)
        slope = 0.0 if self.samples == 1 or self._stands else (self.flattest + self.steepest) / 2
        begin = self._begin
        return ScreenRun(start=start, end=end, first=round(begin), last=round(begin + slope * (self.samples - 1)))

    @property
    def _stands(self) -> bool:
        return self.flattest <= 0.0 <= self.steepest

    @property
    def _begin(self) -> float:
        first, last = self.start.spans[0]
        return (first + last) / 2
