"""Frames said in another measure: seconds in, feet and frames, the first or last ten frames, two frames after 42."""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from critsheet.language.frame_spans import Bounds, SaidFrames
from critsheet.language.lexemes import Lexeme
from critsheet.language.numbers import SpokenNumber

FRAMES_A_FOOT = 16
"""35 mm film with four perforations a frame, the measure of exposure sheets (ISO 491)."""

_SHARES = {"half": Fraction(1, 2), "quarter": Fraction(1, 4)}
_SECONDS_IN = re.compile(
    r"(?:(?P<half>half a)|(?P<one>a|an)|(?P<decimal>\d+\.\d+)|#(?P<count>\d+)) "
    r"(?:and a (?P<more>half|quarter) )?seconds?(?: and a (?P<rest>half|quarter))?,? "
    r"(?:from the (?:start|beginning|top)\b|in(?:to (?:it|this|the shot|the scene)\b|\b(?! (?:the|a|an|there|here|between|his|her|their|my|your|its|front|total"
    r"|length|all(?! the way)|which|of|that|this|each|every|one|to)\b)))"
)
_SECOND_MARK = re.compile(r"\bthe (?P<decimal>\d+\.\d+)?(?:#(?P<count>\d+))?(?: and a (?P<more>half))?(?: -)? seconds? mark\b")
_FROM_FRAME = re.compile(
    r"(?:#(?P<count>\d+)|(?P<one>a)|(?P<couple>a couple of|couple of)) frames? (?P<way>after|before|past) "
    r"(?:(?:about|around|frame|f) )*#(?P<base>\d+)"
)
_AT_AN_END = re.compile(
    r"\b(?:the|your|his|her|these|those|over|for|in) (?:very )?(?P<end>first|last|opening|final) #(?P<count>\d+) frames\b"
    r"(?! (?:before|after|where|when)\b)(?! of (?!the (?:shot|film|piece|animation|whole)|this shot|it\b))"
)
_FEET = re.compile(
    r"\b(?:at|around|about|by|from|to|till|until|near|frame) #(?P<feet>\d+)"
    r"(?: (?:foot|feet|ft|')(?: (?:plus|and|\+))?| plus| \+) #(?P<frames>\d+)\b(?! (?:inch|tall|high|long|wide|kilo|years))"
)


@dataclass(frozen=True)
class Measured:
    """Frames found in other measures, and the numbers that are thereby used up."""

    said: tuple[SaidFrames, ...]
    used: frozenset[SpokenNumber]


class _Marked:
    """The speech as one text in which every number is "#" and its index, with the way back to the pieces."""

    def __init__(self, pieces: Sequence[Lexeme], numbers: Sequence[SpokenNumber]) -> None:
        self.numbers = numbers
        self._piece_at: list[int] = []
        self._offsets: list[int] = []
        shown: list[str] = []
        inside = {place: index for index, number in enumerate(numbers) for place in range(number.start, number.end)}
        size = 0
        for place, piece in enumerate(pieces):
            index = inside.get(place)
            if index is not None and place > numbers[index].start:
                if place == numbers[index].end - 1:
                    shown[-1] = f"{shown[-1].rstrip()}{piece.stop} "
                    size = sum(map(len, shown[-1:])) + self._offsets[-1]
                continue
            text = f"#{index}" if index is not None else piece.text
            alone = index is None or numbers[index].end == place + 1
            shown.append(f"{text}{piece.stop if alone else ''} ")
            self._offsets.append(size)
            self._piece_at.append(place)
            size += len(shown[-1])
        self.text = "".join(shown)
        self._end = len(pieces)

    def place(self, match: re.Match[str]) -> tuple[int, int]:
        """The pieces that a match covers, end exclusive."""
        first = bisect_right(self._offsets, match.start()) - 1
        after = bisect_right(self._offsets, match.end() - 1)
        return self._piece_at[first], self._piece_at[after] if after < len(self._piece_at) else self._end

    def number(self, match: re.Match[str], group: str) -> SpokenNumber:
        return self.numbers[int(match[group])]


def measured(pieces: Sequence[Lexeme], numbers: Sequence[SpokenNumber], bounds: Bounds, rate: Fraction) -> Measured:
    """Frames that were said in another measure, converted to the shot's numbering, each with its doubt."""
    marked = _Marked(pieces, numbers)
    said: list[SaidFrames] = []
    used: set[SpokenNumber] = set()
    for match in _FROM_FRAME.finditer(marked.text):
        used.add(marked.number(match, "base"))
        said.append(_from_frame(marked, match))
    for match in _FEET.finditer(marked.text):
        used |= {marked.number(match, "feet"), marked.number(match, "frames")}
        said.append(_from_feet(marked, match, bounds))
    said += _at_an_end(marked, bounds)
    said += _seconds_in(marked, bounds, rate)
    return Measured(tuple(found for found in said if bounds.hold(found.first) and bounds.hold(found.last)), frozenset(used))


def _from_frame(marked: _Marked, match: re.Match[str]) -> SaidFrames:
    count = 1 if match["one"] else 2 if match["couple"] else marked.number(match, "count").value
    frame = marked.number(match, "base").value + (-count if match["way"] == "before" else count)
    return SaidFrames(*marked.place(match), frame, frame, approximate=match["couple"] is not None)


def _from_feet(marked: _Marked, match: re.Match[str], bounds: Bounds) -> SaidFrames:
    feet, rest = marked.number(match, "feet").value, marked.number(match, "frames").value
    frame = bounds.first + feet * FRAMES_A_FOOT + rest
    doubt = f"{feet}+{rest:02} is frame {frame} if the count starts at 0+00 on frame {bounds.first}"
    return SaidFrames(*marked.place(match), frame, frame, doubt=doubt)


def _at_an_end(marked: _Marked, bounds: Bounds) -> Iterator[SaidFrames]:
    for match in _AT_AN_END.finditer(marked.text):
        count = marked.number(match, "count").value
        if match["end"] in ("first", "opening"):
            first, last = bounds.first, bounds.first + count - 1
        else:
            first, last = bounds.last - count + 1, bounds.last
        if bounds.known and count:
            yield SaidFrames(*marked.place(match), first, last, doubt=f"counted from the shot's own range as {first} to {last}")


def _seconds_in(marked: _Marked, bounds: Bounds, rate: Fraction) -> Iterator[SaidFrames]:
    for pattern in (_SECONDS_IN, _SECOND_MARK):
        for match in pattern.finditer(marked.text):
            parts = match.groupdict()
            seconds = sum((_SHARES[share] for key in ("half", "more", "rest") if (share := (parts.get(key) or "").split(" ")[0])), Fraction())
            seconds += Fraction(parts["decimal"]) if parts["decimal"] else Fraction()
            seconds += marked.number(match, "count").value if parts["count"] else 1 if parts.get("one") else 0
            frame = bounds.first + int(seconds * rate + Fraction(1, 2))
            words = re.sub(r"#(\d+)", lambda number: str(marked.numbers[int(number[1])].value), match[0])
            doubt = f"converted from {words!r} at {float(rate):g} frames a second"
            yield SaidFrames(*marked.place(match), frame, frame, approximate=True, doubt=doubt)
