"""Frames said in another measure: seconds in, feet and frames, the first or last ten frames, two frames after 42."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from critsheet.language.frame_cues import is_counted
from critsheet.language.frame_patterns import HEDGED, LENGTH, any_of
from critsheet.language.frame_spans import Bounds, SaidFrames
from critsheet.language.lexemes import Line
from critsheet.language.numbers import SpokenNumber

FRAMES_A_FOOT = 16
"""35 mm film with four perforations a frame, the measure of exposure sheets (ISO 491)."""

AFTER_A_FRAME = 20
"""Pieces after a frame within which "the last four frames" belong to what happens there, not to the shot."""

OFTEN_IN_SECONDS = 2
"""A mentor who has clearly named this many places in seconds speaks in seconds, or in seconds and frames."""

_SHARES = {"half": Fraction(1, 2), "quarter": Fraction(1, 4)}
_NOT_INTO = any_of(
    "the a an there here between his her their my your its this that which each every one front total length of to"
)
_AMOUNT = r"(?:half an?|an?|\d+\.\d+|#\d+(?: point #\d+)?)(?: and a (?:half|quarter))?"
_TIME = rf"{_AMOUNT} seconds?(?: and a (?:half|quarter)| (?:and )?#\d+ frames?)?"
_UNIT_LEFT_OUT = rf"{_AMOUNT}(?: seconds?)?(?: in)?"
_CHANGED = any_of(
    "last lasts lasted take takes stretch cut bring lengthen shorten trim extend change changed hold anywhere somewhere"
)
_STRETCH = re.compile(
    rf"(?<!\w)(?P<change>(?:{_CHANGED}) (?:\w+ ){{0,3}})?(?:from {HEDGED}(?P<first>{_UNIT_LEFT_OUT})"
    rf" (?:to|till|until|through)|between {HEDGED}(?P<low>{_UNIT_LEFT_OUT}) and) {HEDGED}(?P<last>{_UNIT_LEFT_OUT})"
    r"\b(?! (?:long|each|apart|of))"
)
_PLACES = tuple(
    re.compile(pattern)
    for pattern in (
        rf"(?P<first>{_AMOUNT} seconds?(?: and a (?:half|quarter))?),? (?:from the (?:start|beginning|top)\b"
        rf"|into (?:it|this|the shot|the scene)\b|in\b(?! (?:{_NOT_INTO}|all(?! the way))\b))",
        r"\bthe (?P<first>(?:\d+\.\d+|#\d+)(?: and a half)?(?: -)? seconds?) mark\b",
        rf"\bat {HEDGED}(?!a second (?!and a))(?P<first>{_TIME})\b(?! (?:each|apart|long|per|of|an?|intervals)\b)",
        rf"\bfrom {HEDGED}(?P<first>{_TIME}) on(?:wards?)?\b",
    )
)
_SECONDS_AND_FRAMES = re.compile(r"(?P<first>#\d+ seconds? (?:(?:and )?#\d+(?: frames?)?|nothing|dead))(?![\d.])")
_WHERE_OFTEN = tuple(
    re.compile(pattern)
    for pattern in (
        r"(?:^|\. )(?:(?:and|so|then|now|okay),? )*(?P<first>#\d+ seconds(?: and a half)?), "
        rf"(?=(?:{any_of('he she they the his her their')})\b)",
        rf"\b(?:{any_of('at around about from by until till')}) {HEDGED}(?P<first>\d+\.\d)(?![\d.]| (?:seconds|speed))",
    )
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
        marks = {
            number.start: (index, number.end)
            for index, number in enumerate(numbers)
            if "." not in line.pieces[number.start].text
        }
        while place < len(line.pieces):
            index, end = marks.get(place, (None, place + 1))
            text = line.pieces[place].text if index is None else f"#{index}"
            self._places.append(place)
            self._offsets.append(len(self.text))
            self.text += f"{text}{line.pieces[end - 1].stop} "
            place = end
        self._places.append(place)

    def place(self, match: re.Match[str], group: str | int = 0) -> tuple[int, int]:
        """The pieces that a match, or a group of it, covers, end exclusive."""
        first = bisect_right(self._offsets, match.start(group)) - 1
        return self._places[first], self._places[bisect_right(self._offsets, match.end(group) - 1)]

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
    seconds = _Seconds(marked, line, bounds, rate).read()
    said += seconds
    used = {marked.number(match, "base") for match in from_frame}
    used |= {marked.number(match, group) for match in feet for group in ("feet", "frames")}
    used |= {number for number in numbers for here in seconds if here.start <= number.start < here.end}
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


class _Seconds:
    """Reads the places that are said in seconds, or in seconds and frames; no words are read twice."""

    def __init__(self, marked: _Marked, line: Line, bounds: Bounds, rate: Fraction) -> None:
        self.marked, self.line, self.bounds, self.rate = marked, line, bounds, rate
        self.said: list[SaidFrames] = []

    def read(self) -> list[SaidFrames]:
        for pattern in (_STRETCH, *_PLACES):
            self._add(pattern)
        sure = len(self.said)
        self._add(_SECONDS_AND_FRAMES)
        if len(self.said) < OFTEN_IN_SECONDS:
            return self.said[:sure]
        for pattern in _WHERE_OFTEN:
            self._add(pattern)
        self._add_bare_timecodes()
        return self.said

    def _add(self, pattern: re.Pattern[str]) -> None:
        for match in pattern.finditer(self.marked.text):
            begins = "first" if match["first"] else "low"
            ends = "last" if pattern is _STRETCH else begins
            start, end = self.marked.place(match, begins)[0], self.marked.place(match, ends)[1]
            if pattern is _STRETCH and not re.search(r"second|\d\.\d|point", match[0]):
                continue
            if pattern in (_STRETCH, _SECONDS_AND_FRAMES) and self._is_length(match, start):
                continue
            first, last = self._frame(match[begins]), self._frame(match[ends])
            if first <= last and not self._is_read(start, end):
                self.said.append(SaidFrames(start, end, first, last, True, self._doubt(match)))

    def _is_length(self, match: re.Match[str], start: int) -> bool:
        return bool(match.groupdict().get("change")) or LENGTH.search(self.line.before(start)) is not None

    def _is_read(self, start: int, end: int) -> bool:
        return any(frames.start < end and start < frames.end for frames in self.said)

    def _frame(self, text: str) -> int:
        """The frame at "a second and a half", "#3 seconds and #4 frames" or, without its unit, "1.4"."""
        amount, _, rest = text.partition(" second")
        counts = self._counts(amount)
        decimal = re.search(r"\d+\.\d+", amount)
        whole = decimal[0] if decimal else ".".join(map(str, counts)) or str(int(amount.startswith("a")))
        seconds = Fraction(whole) + sum(_SHARES[share] for share in re.findall("half|quarter", text))
        return self._at(seconds) + sum(self._counts(rest))

    def _counts(self, text: str) -> list[int]:
        return [self.marked.numbers[int(index)].value for index in re.findall(r"#(\d+)", text)]

    def _at(self, seconds: Fraction) -> int:
        return self.bounds.first + int(seconds * self.rate + Fraction(1, 2))

    def _add_bare_timecodes(self) -> None:
        """ "Four nineteen", where it can be no frame of the shot: four seconds and nineteen frames."""
        for number in self.marked.numbers:
            seconds, frames = divmod(number.value, 100)
            paired = number.form == "clock" or len(number.parts) == 2
            taken = self.bounds.hold(number.value) or is_counted(self.line, number)
            if paired and frames < self.rate and not taken and not self._is_read(number.start, number.end):
                place = self._at(Fraction(seconds)) + frames
                doubt = f"{seconds} seconds and {frames} frames, taken as frame {place}"
                self.said.append(SaidFrames(number.start, number.end, place, place, True, doubt))

    def _doubt(self, match: re.Match[str]) -> str:
        words = re.sub(r"#(\d+)", lambda number: str(self.marked.numbers[int(number[1])].value), match[0])
        return f"converted from {words!r} at {float(self.rate):g} frames a second"
