"""Draws where notes are, as strips that run down the page like an exposure sheet: a line a frame, brackets beside.

One strip counts the shot's frames, the other the recording's seconds. Both are drawn alike: a scale at the left, then
an outline, then the notes' brackets in as many columns as keep them apart.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from critsheet.render import words
from critsheet.render.drawings import Bracket, Rule, Strip, Time
from critsheet.render.texts import Texts
from critsheet.render.words import Group, Numbered, clock, plain
from critsheet.screen import OnScreen
from critsheet.sheet import FrameRange, Sheet

HEIGHT = 560.0
"""Pixels that a strip fills on a screen without scrolling."""
TALLEST = 1200.0
"""Where many notes crowd in one place a strip may grow to this."""
PITCH, LEAST = 24.0, 18.0
"""Width of a column and least height of a bracket with its number: what a finger finds."""
MANY = 5
"""Columns beyond which a strip rather grows taller."""
TALLEST_FRAME = 14.0
_TOP = 12.0
_SCALE, _OUTLINE = 40.0, 34.0
"""Widths of the scale's numbers and of the outline beside it."""
_GAP = 22.0
"""Pixels that two numbers of the scale need between them."""
_LINED = 4.0
"""Pixels a frame from which each frame has a line of its own; below, lines would be a grey."""
_FRAME_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000, 100_000, 1_000_000)
_SECOND_STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600)
_PAD = 4
"""Frames drawn around those named, where nobody said how long the shot is."""


@dataclass(frozen=True)
class Mark:
    """A note's stretch of a scale, `end` exclusive, before it has a place on the paper."""

    start: float
    end: float
    look: str
    about: bool
    number: int
    note: str
    text: str
    time: Time | None = None


@dataclass(frozen=True)
class Scale:
    """From seconds or frames to pixels down the page."""

    start: float
    end: float
    unit: float

    def y(self, at: float) -> float:
        """Pixels from the top, kept on the paper."""
        return round(_TOP + (min(max(at, self.start), self.end) - self.start) * self.unit, 1)

    @property
    def height(self) -> float:
        """Of the whole drawing."""
        return round(2 * _TOP + (self.end - self.start) * self.unit, 1)


def shot_span(sheet: Sheet) -> tuple[int, int] | None:
    """First and last frame to draw, None where no note is tied to a frame of the shot."""
    ranges = [one for note in sheet.notes for one in note.frames]
    first = sheet.shot.first if sheet.shot else None
    last = sheet.shot.last if sheet.shot else None
    if first is None or last is None:
        lowest, highest = min((one.first for one in ranges), default=0), max((one.last for one in ranges), default=0)
        first = max(lowest - _PAD, min(lowest, 1)) if first is None else first
        last = max(highest + _PAD, first) if last is None else last
    return (first, last) if any(inside(one, (first, last)) for one in ranges) else None


def inside(one: FrameRange, span: tuple[int, int]) -> bool:
    """Whether a frame range lies on the shot, at least in part."""
    return one.first <= span[1] and one.last >= span[0]


def shot_strip(sheet: Sheet, groups: Sequence[Group], texts: Texts) -> Strip | None:
    """The shot, frame by frame, with the notes tied to its frames; None where there are none."""
    span = shot_span(sheet)
    if span is None:
        return None
    marks = [
        Mark(
            one.first, one.last + 1, _look(group, entry), words.about(one), entry.number, entry.note.id,
            texts("map.note_at", n=entry.number, frames=words.frames([one], texts), action=plain(entry.note.action)),
        )
        for group, entry in _entries(groups)
        for one in entry.note.frames
        if inside(one, span)
    ]  # fmt: skip
    asked = [mark for mark in marks if mark.look in ("first", "todo")]
    left = _SCALE + (_OUTLINE if asked else 0)
    scale, placed = _laid_out(marks, span[0], span[1] + 1, TALLEST_FRAME, left)
    return _strip(scale, left, placed, _frame_rules(scale), _load(asked, scale))


def most_asked(sheet: Sheet) -> tuple[FrameRange, int] | None:
    """The frames that most things to mend are about, and how many they are; None where none is tied to a frame."""
    span = shot_span(sheet)
    ranges = [one for note in sheet.notes if note.kind == "fix" for one in note.frames if span and inside(one, span)]
    counted = _counts([(one.first, one.last + 1) for one in ranges])
    if not counted:
        return None
    start, end, n = max(counted, key=lambda step: (step[2], -step[0]))
    return FrameRange(first=int(start), last=int(end) - 1), n


def talk_strip(sheet: Sheet, groups: Sequence[Group], texts: Texts, time: Callable[[float], Time]) -> Strip | None:
    """The recording, with what was said about each note; None where nothing was."""
    length = max(sheet.review.recording.duration, sheet.transcript.duration)
    marks = []
    for group, entry in _entries(groups):
        for moment in entry.note.moments:
            key = "map.play_note" if time(moment.start).href else "map.note_at"
            at = clock(moment.start)
            said = texts(key, n=entry.number, time=at, frames=at, action=plain(entry.note.action))
            playing = time(moment.start) if time(moment.start).href else None
            look = _look(group, entry)
            marks.append(Mark(moment.start, moment.end, look, False, entry.number, entry.note.id, said, playing))
    if not marks or length <= 0:
        return None
    left = _SCALE + (_OUTLINE if sheet.on_screen else 0)
    scale, placed = _laid_out(marks, 0.0, length, HEIGHT, left)
    outline = _playhead(sheet.on_screen, scale) if sheet.on_screen else ""
    return _strip(scale, left, placed, _second_rules(scale), outline)


def _entries(groups: Iterable[Group]) -> list[tuple[Group, Numbered]]:
    return [(group, entry) for group in groups for entry in group.notes]


def _look(group: Group, entry: Numbered) -> str:
    if entry.note.kind != "fix":
        return entry.note.kind
    return "first" if group.key == words.FIRST else "todo"


def _laid_out(
    marks: Sequence[Mark], start: float, end: float, tallest: float, left: float
) -> tuple[Scale, list[Bracket]]:
    """The scale that keeps brackets apart in few columns, and the brackets on it."""
    unit = min(tallest, HEIGHT / (end - start))
    while True:
        scale = Scale(start, end, unit)
        placed, columns = _placed(marks, scale, left)
        if columns <= MANY or scale.height * 1.25 > TALLEST:
            return scale, placed
        unit *= 1.25


def _placed(marks: Sequence[Mark], scale: Scale, left: float) -> tuple[list[Bracket], int]:
    """Each bracket in the first column that is free where it starts."""
    free: list[float] = []
    brackets = []
    for mark in sorted(marks, key=lambda mark: (mark.start, -mark.end, mark.number)):
        top = scale.y(mark.start)
        height = round(max(scale.y(mark.end) - top, 2.0), 1)
        column = next(
            (place for place, end in enumerate(free) if end <= top - max(0.0, (LEAST - height) / 2)), len(free)
        )
        free[column : column + 1] = [top + max(height, height / 2 + LEAST / 2) + 2]
        x = left + 8 + column * PITCH
        centre = round(top + min(height / 2, LEAST / 2), 1)
        drawn = (x, top, height, centre, mark.look, mark.about)
        brackets.append(Bracket(*drawn, mark.number, mark.note, mark.text, mark.time))
    return brackets, len(free)


def _strip(scale: Scale, left: float, brackets: Sequence[Bracket], rules: Sequence[Rule], outline: str) -> Strip:
    right = max((bracket.x + PITCH for bracket in brackets), default=0.0)
    height = max([scale.height, *(bracket.y + LEAST + 4 for bracket in brackets)])
    return Strip(right + 4, round(height, 1), left, tuple(rules), tuple(brackets), outline)


def _frame_rules(scale: Scale) -> list[Rule]:
    """A line a frame where there is room, a heavier one with its number every few; numbers as people count, by tens."""
    first, last = int(scale.start), int(scale.end) - 1
    step = _step(_FRAME_STEPS, scale.unit)
    gap = _GAP / scale.unit
    named = {first, last} | {
        frame for frame in range(first + step - first % step, last, step) if first + gap < frame < last - gap
    }
    lined = range(first, last + 1) if scale.unit >= _LINED else sorted(named)
    return [Rule(scale.y(frame), str(frame) if frame in named else "", frame in named) for frame in lined]


def _second_rules(scale: Scale) -> list[Rule]:
    step = _step(_SECOND_STEPS, scale.unit)
    return [Rule(scale.y(at), clock(at), True) for at in range(0, int(scale.end) + 1, step)]


def _step(steps: Sequence[int], unit: float) -> int:
    return next((step for step in steps if step * unit >= _GAP), steps[-1])


def _counts(stretches: Sequence[tuple[float, float]]) -> list[tuple[float, float, int]]:
    """How many stretches there are between one place and the next, where there are any."""
    edges = sorted({edge for stretch in stretches for edge in stretch})
    counted = [(a, b, sum(start <= a < end for start, end in stretches)) for a, b in pairwise(edges)]
    return [step for step in counted if step[2]]


def _load(marks: Sequence[Mark], scale: Scale) -> str:
    """How much is asked at each frame, as a path that grows from the left edge of the outline."""
    counted = _counts([(mark.start, mark.end) for mark in marks])
    most = max((n for *_, n in counted), default=1)
    width = _OUTLINE - 4
    return "".join(
        f"M{_SCALE:g} {scale.y(a)}h{width * n / most:.1f}V{max(scale.y(b), scale.y(a) + 1)}H{_SCALE:g}z"
        for a, b, n in counted
    )


def _playhead(shown: OnScreen, scale: Scale) -> str:
    """The frame on screen as a line: the shot's first frame at the left, its last at the right."""
    frames = [frame for run in shown.runs if run.first is not None for frame in (run.first, run.last or run.first)]
    if not frames or min(frames) == max(frames):
        return ""
    low, width = min(frames), (_OUTLINE - 6) / (max(frames) - min(frames))
    path = []
    for run in shown.runs:
        if run.first is not None and run.last is not None:
            a, b = _SCALE + 2 + (run.first - low) * width, _SCALE + 2 + (run.last - low) * width
            path.append(f"M{a:.1f} {scale.y(run.start)}L{b:.1f} {scale.y(run.end)}")
    return "".join(path)
