"""Cuts a playhead into stretches of one manner: the shot stood still, crept, or played."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from critsheet.frames.showing import SAMPLES_A_SECOND, Playhead, Showing

Manner = Literal["paused", "slow", "played"]
Span = tuple[int, int]

PAUSE_S = 0.5
"""Longer than a picture stands while its frames play: shorter stops are a hand letting go and taking hold again."""

SLOW = Fraction(3, 5)
"""Of the shot's rate: a hand that scrubs below it is pointing."""

_REACH = 2
"""Samples to either side over which speed is measured: a hold on twos or fours is no slowing down."""

_STRAY = 1
"""Frames by which a standing picture may be misread."""

_BLINK = 2
"""Samples for which the shot may be out of sight, behind a cursor or a menu that flits by, without anything ending."""

_STANDS = 5
"""Samples of one picture, among which a frame seen once is a misreading rather than a step."""


@dataclass(frozen=True)
class Stretch:
    """Successive samples of a recording, at least one, in which the shot is on screen and shown in one manner."""

    manner: Manner
    samples: tuple[Showing, ...]

    @property
    def start_s(self) -> float:
        """Seconds of the recording at which it starts."""
        return self.samples[0].seconds

    @property
    def end_s(self) -> float:
        """Seconds of the recording at which it is over."""
        return self.samples[-1].seconds + 1 / SAMPLES_A_SECOND

    @property
    def span(self) -> Span:
        """First and last frame of the shot seen; in a long pause without those of a single sample: they are misread."""
        spans = [sample.spans[0] for sample in self.samples]
        if self.manner == "paused" and len(spans) >= _STANDS:
            spans = [span for span in spans if spans.count(span) > 1] or spans
        return min(first for first, _ in spans), max(last for _, last in spans)

    @property
    def repeats(self) -> tuple[Span, ...]:
        """In a pause, the other frames of the shot that show the same picture, as ranges in order."""
        if self.manner != "paused":
            return ()
        first, last = self.span
        joined: list[Span] = []
        for low, high in sorted({span for sample in self.samples for span in sample.spans[1:]}):
            if joined and low <= joined[-1][1] + 1:
                joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
            else:
                joined.append((low, high))
        return tuple(span for span in joined if span[1] < first or last < span[0])

    @property
    def confidence(self) -> float:
        """The mean of its samples, 0 to 1."""
        return sum(sample.confidence for sample in self.samples) / len(self.samples)

    def within(self, start_s: float, end_s: float) -> "Stretch | None":
        """The part of it from one time to another, None where it has none."""
        part = tuple(sample for sample in self.samples if start_s <= sample.seconds < end_s)
        return Stretch(self.manner, part) if part else None


def stretches(playhead: Playhead, rate: Fraction) -> list[Stretch]:
    """All stretches in order of time; where the shot is not on screen there is none."""
    found: list[Stretch] = []
    for run in _on_screen(playhead.showings):
        moving: list[Showing] = []
        for part in _standing(run):
            if _is_pause(part, rate):
                found += [*_moving(moving, rate), Stretch("paused", tuple(part))]
                moving = []
            else:
                moving += part
        found += _moving(moving, rate)
    return found


def starts_again(samples: Sequence[Showing]) -> bool:
    """Whether the shot, or a part of it, began again: it jumped back over more than half of the frames seen."""
    frames = [_middle(sample) for sample in samples]
    far = max(1.0, (max(frames) - min(frames)) / 2)
    return any(after < before - far for before, after in zip(frames, frames[1:], strict=False))


def _on_screen(showings: Sequence[Showing]) -> Iterator[list[Showing]]:
    """The samples with the shot on screen, in runs that end where it is gone for longer than a blink."""
    run: list[Showing] = []
    gone = 0
    for showing in showings:
        gone = 0 if showing.spans else gone + 1
        if showing.spans:
            run.append(showing)
        elif run and gone > _BLINK:
            yield run
            run = []
    if run:
        yield run


def _standing(run: Sequence[Showing]) -> Iterator[list[Showing]]:
    """The run in parts whose samples may all show one frame, give or take a stray."""
    part: list[Showing] = []
    low = high = 0
    for sample in run:
        first, last = sample.spans[0][0] - _STRAY, sample.spans[0][1] + _STRAY
        if part and max(low, first) > min(high, last):
            yield part
            part = []
        low, high = (max(low, first), min(high, last)) if part else (first, last)
        part.append(sample)
    yield part


def _is_pause(part: Sequence[Showing], rate: Fraction) -> bool:
    """Whether the frames stood for longer than they take to play."""
    frames = [frame for sample in part for frame in sample.spans[0]]
    played_s = (max(frames) - min(frames) + 1) / rate
    stood_s = part[-1].seconds - part[0].seconds + 1 / SAMPLES_A_SECOND
    return stood_s - played_s >= PAUSE_S


def _moving(samples: Sequence[Showing], rate: Fraction) -> list[Stretch]:
    manners = [_manner(samples, place, rate) for place in range(len(samples))]
    found, start = [], 0
    for place in range(1, len(samples) + 1):
        if place == len(samples) or manners[place] != manners[start]:
            found.append(Stretch(manners[start], tuple(samples[start:place])))
            start = place
    return found


def _manner(samples: Sequence[Showing], place: int, rate: Fraction) -> Manner:
    before, after = max(0, place - _REACH), min(len(samples) - 1, place + _REACH)
    if before == after:
        return "played"
    # What was gone over, not how far it led: a shot that starts again, or a hold that plays by, is not slow.
    frames = [frame for sample in samples[before : after + 1] for frame in sample.spans[0]]
    frames_a_second = (max(frames) - min(frames)) / (samples[after].seconds - samples[before].seconds)
    return "slow" if frames_a_second < SLOW * rate else "played"


def _middle(sample: Showing) -> float:
    first, last = sample.spans[0]
    return (first + last) / 2
