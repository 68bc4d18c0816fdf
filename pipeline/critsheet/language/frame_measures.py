"""Frames said in another measure: seconds in, feet and frames, the first or last ten frames, two frames after 42."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from critsheet.language.frame_patterns import any_of
from critsheet.language.frame_spans import Bounds, SaidFrames
from critsheet.language.lexemes import Line
from critsheet.language.numbers import SpokenNumber

FRAMES_A_FOOT = 16
"""35 mm film with four perforations a frame, the measure of exposure sheets (ISO 491)."""

AFTER_A_FRAME = 40
"""Pieces after a frame within which "the last four frames" belong to what happens there, not to the shot."""

_SHARES = {"half": Fraction(1, 2), "quarter": Fraction(1, 4)}
_NOT_INTO = any_of(
    "the a an there here between his her their my your its this that which each every one front total length of to"
)
_SECONDS_IN = re.compile(
    r"(?:(?P<half>half) an?|(?P<one>a|an)|(?P<decimal>\d+\.\d+)|#(?P<count>\d+)) (?:and a (?P<more>half|quarter) )?"
    r"seconds?(?: and a (?P<rest>half|quarter))?,? (?:from the (?:start|beginning|top)\b"
    rf"|into (?:it|this|the shot|the scene)\b|in\b(?! (?:{_NOT_INTO}|all(?! the way))\b))"
)
_SECOND_MARK = re.compile(
    r"\bthe (?:(?P<decimal>\d+\.\d+)|#(?P<count>\d+))(?: and a (?P<more>half))?(?: -)? seconds? mark\b"
)
_FROM_FRAME = re.compile(
    r"(?:#(?P<count>\d+)|(?P<one>a)|(?P<couple>a couple of|couple of)) frames? (?P<way>after|before|past) "
    r"(?:(?:about|around|frame|f) )*#(?P<base>\d+)"
)
_AT_AN_END = re.compile(
    r"(?:\b(?:the|your|his|her|these|those|over|for|in) |(?:^|[,.] ))(?:very )?(?P<end>first|last|opening|final) "
    r"#(?P<count>\d+) frames\b(?! (?:before|after|where|when)\b)"
    r"(?! of (?!the (?:shot|film|piece|animation|whole)|this shot|it\b))"
)
_FEET = re.compile(
    r"\b(?:at|around|about|by|from|to|till|until|near|frame) #(?P<feet>\d+)"
    r"(?: (?:foot|feet|ft|')(?: (?:plus|and|\+))?| plus| \+) #(?P<frames>\d+)\b"
    r"(?! (?:inch|tall|high|long|wide|kilo|years))"
)


@dataclass(frozen=True)
class Measured:
    """Frames found in other measures, and the numbers that are thereby used up."""

    said: tuple[SaidFrames, ...]
    used: frozenset[SpokenNumber]


class _Marked:
    """The speech as text in which every number is "#" and its index, with the way back to the pieces."""

    def __init__(self, line: Line, numbers: Sequence[SpokenNumber]) -> None:
        self.numbers = numbers
        self._places: list[int] = []
        self._offsets: list[int] = []
        self.text = ""
        place = 0
        marks = {number.start: (index, number.end) for index, number in enumerate(numbers)}
        while place < len(line.pieces):
            index, end = marks.get(place, (None, place + 1))
            text = line.pieces[place].text if index is None else f"#{index}"
            self._places.append(place)
            self._offsets.append(len(self.text))
            self.text += f"{text}{line.pieces[end - 1].stop} "
            place = end
        self._places.append(place)

    def place(self, match: re.Match[str]) -> tuple[int, int]:
        """The pieces that a match covers, end exclusive."""
        first = bisect_right(self._offsets, match.start()) - 1
        return self._places[first], self._places[bisect_right(self._offsets, match.end() - 1)]

    def value(self, match: re.Match[str], group: str) -> int:
        return self.number(match, group).value

    def number(self, match: re.Match[str], group: str) -> SpokenNumber:
        return self.numbers[int(match[group])]


def measured(line: Line, numbers: Sequence[SpokenNumber], bounds: Bounds, rate: Fraction) -> Measured:
    """Frames that were said in another measure, converted to the shot's numbering, each with its doubt."""
    marked = _Marked(line, numbers)
    from_frame = list(_FROM_FRAME.finditer(marked.text))
    feet = list(_FEET.finditer(marked.text))
    said = [_from_frame(marked, match) for match in from_frame]
    said += [_from_feet(marked, match, bounds) for match in feet]
    said += _at_an_end(marked, bounds)
    said += _seconds_in(marked, bounds, rate)
    used = {marked.number(match, "base") for match in from_frame}
    used |= {marked.number(match, group) for match in feet for group in ("feet", "frames")}
    inside = [frames for frames in said if bounds.hold(frames.first) and bounds.hold(frames.last)]
    return Measured(tuple(inside), frozenset(used))


def _from_frame(marked: _Marked, match: re.Match[str]) -> SaidFrames:
    count = 1 if match["one"] else 2 if match["couple"] else marked.value(match, "count")
    frame = marked.value(match, "base") + (-count if match["way"] == "before" else count)
    return SaidFrames(*marked.place(match), frame, frame, approximate=match["couple"] is not None)


def _from_feet(marked: _Marked, match: re.Match[str], bounds: Bounds) -> SaidFrames:
    feet, rest = marked.value(match, "feet"), marked.value(match, "frames")
    frame = bounds.first + feet * FRAMES_A_FOOT + rest
    doubt = f"{feet}+{rest:02} is frame {frame} if the count starts at 0+00 on frame {bounds.first}"
    return SaidFrames(*marked.place(match), frame, frame, doubt=doubt)


def _at_an_end(marked: _Marked, bounds: Bounds) -> Iterator[SaidFrames]:
    for match in _AT_AN_END.finditer(marked.text) if bounds.known else ():
        start, end = marked.place(match)
        if any(0 <= start - number.end <= AFTER_A_FRAME and bounds.hold(number.value) for number in marked.numbers):
            continue  # "from nine to twenty ... in the last four frames"
        count = max(1, marked.value(match, "count"))
        if match["end"] in ("first", "opening"):
            first, last = bounds.first, bounds.first + count - 1
        else:
            first, last = bounds.last - count + 1, bounds.last
        doubt = f"counted as {first} to {last} in a shot from {bounds.first} to {bounds.last}"
        yield SaidFrames(start, end, first, last, doubt=doubt)


def _seconds_in(marked: _Marked, bounds: Bounds, rate: Fraction) -> Iterator[SaidFrames]:
    for match in [*_SECONDS_IN.finditer(marked.text), *_SECOND_MARK.finditer(marked.text)]:
        parts = match.groupdict()
        seconds = Fraction(parts["decimal"] or 0) + sum(
            _SHARES[share] for group in ("half", "more", "rest") if (share := parts.get(group))
        )
        seconds += marked.value(match, "count") if parts["count"] else 1 if parts.get("one") else 0
        frame = bounds.first + int(seconds * rate + Fraction(1, 2))
        words = re.sub(r"#(\d+)", lambda number: str(marked.numbers[int(number[1])].value), match[0])
        doubt = f"converted from {words!r} at {float(rate):g} frames a second"
        yield SaidFrames(*marked.place(match), frame, frame, approximate=True, doubt=doubt)
