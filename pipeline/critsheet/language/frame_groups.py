"""Joins numbers that are said together, and reads ranges and lists from them: "120 to 130", "12, 13, 14"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from critsheet.language.frame_cues import FEW, is_approximate, is_counted, is_drawing, is_named, is_other
from critsheet.language.frame_patterns import HEDGED, HEDGES
from critsheet.language.frame_spans import Bounds, SaidFrames
from critsheet.language.lexemes import Line
from critsheet.language.numbers import SpokenNumber

Link = Literal["to", "back", "fix", "and", "or", "list"]

DRAWING = "drawing {0} taken as frame {0}: right where drawings carry the number of their frame"
CLOCK = "{0!r} taken as frame {1}: it could be a time"

NEIGHBOURS = 5
"""Two numbers this close ("eight ten", "nine ten") are two; further apart ("one nineteen") they are one."""

_TO = r"(?:right |all the way |all |on |up |down |out |from )*(?:to|through to|through|thru|til|till|until|up to)"
_FIX = r"no|sorry|actually|rather|wait|make that|scratch that|or whatever|whatever|i mean|- something|something"
_GAP = re.compile(
    rf",? (?:(?:{_TO}|{_FIX}|and|or|or so|back to|-|'s|frames?|drawings?|f|x|at|then|ish|odd|or something"
    rf"|the (?:mid|middle|early|late|low|high)(?: -)?|mid(?: -)?|{HEDGES}),? )*"
)
_IS_TO = re.compile(rf"\b(?:{_TO})\b| - $")
_IS_FIX = re.compile(rf"\b(?:{_FIX})\b")
_IS_OR = re.compile(r"\bor\b(?! so\b| something\b)")
_BETWEEN = re.compile(rf"\bbetween {HEDGED}$")
_PART_OF_DECADE = re.compile(r"\b(mid|middle|early|low|late|high)(?: -)? $")
_DECADE_PARTS = {"mid": (5, 5), "middle": (5, 5), "early": (0, 4), "low": (0, 4), "late": (5, 9), "high": (5, 9)}


@dataclass(frozen=True)
class Group:
    """Numbers said together, and what joins each to the next."""

    numbers: tuple[SpokenNumber, ...]
    links: tuple[Link, ...]

    def where(self, kept: Sequence[bool]) -> list["Group"]:
        """The parts of the group whose numbers are all kept."""
        found: list[Group] = []
        start = 0
        for index in range(len(self.numbers) + 1):
            if index == len(self.numbers) or not kept[index]:
                if index > start:
                    found.append(Group(self.numbers[start:index], self.links[start : index - 1]))
                start = index + 1
        return found

    def in_range(self, index: int) -> bool:
        """Whether a number begins or ends a range that reaches beyond what is counted in hands and frames."""
        near = range(max(0, index - 1), min(len(self.links), index + 1))
        return any(
            self.links[link] == "to" and max(self.numbers[link].value, self.numbers[link + 1].value) > FEW
            for link in near
        )

    def values(self, bounds: Bounds) -> list[int]:
        """The numbers' values, short forms completed: "eighty to five" is 80, 85; "three-oh-nine, ten" 309, 310."""
        values = [self.numbers[0].value]
        for number, link in zip(self.numbers[1:], self.links, strict=True):
            values.append(_completed(values[-1], number.value, link, bounds))
        return values


def _completed(before: int, value: int, link: Link, bounds: Bounds) -> int:
    if value >= before or link == "back" or (link != "to" and bounds.hold(value)):
        return value
    scale = 10 if value < 10 else 100
    whole = before - before % scale + value
    return whole if value < 100 and before < whole and bounds.hold(whole) else value


def settled(line: Line, numbers: Sequence[SpokenNumber], bounds: Bounds) -> list[SpokenNumber]:
    """The numbers, each taken as one ("ten twenty-four" as 1024) or apart (as 10 and 24), as suits the shot.

    "10:24" and "1.18" are kept only where they can be a recogniser's spelling of a frame.
    """
    found: list[SpokenNumber] = []
    for number in numbers:
        dotted = "." in line.pieces[number.start].text
        framed = bounds.hold(number.value) and (dotted or number.value >= 1000 or is_named(line, number))
        if number.form != "clock" or framed:
            found += number.parts if _stands_apart(number, bounds) else [number]
    return found


def _stands_apart(number: SpokenNumber, bounds: Bounds) -> bool:
    if len(number.parts) != 2:
        return False
    head, tail = (part.value for part in number.parts)
    if not bounds.hold(number.value):
        return head >= 10 or 0 < tail - head <= NEIGHBOURS or number.parts[1].form == "digits"
    return bounds.hold(head) and (number.form == "digits" or (bounds.hold(tail) and tail - head in (1, 2)))


def groups(line: Line, numbers: Sequence[SpokenNumber]) -> list[Group]:
    """The numbers in groups; those that count something, or are labels, ages and lengths, are left out."""
    found: list[Group] = []
    for number in numbers:
        link = _link(line, found[-1], number) if found else None
        if link is None:
            found.append(Group((number,), ()))
        else:
            found[-1] = Group((*found[-1].numbers, number), (*found[-1].links, link))
    return [part for group in found for part in _without_others(line, group)]


def _link(line: Line, group: Group, number: SpokenNumber) -> Link | None:
    before = group.numbers[-1]
    gap = line.pieces[before.end - 1].stop + " " + line.between(before.end, number.start)
    if _GAP.fullmatch(gap) is None:
        return None
    between = not group.links and _BETWEEN.search(line.before(before.start)) is not None
    kinds: tuple[tuple[Link, bool], ...] = (
        ("back", "back" in gap),
        ("to", _IS_TO.search(gap) is not None or (between and " and " in gap and before.value < number.value)),
        ("fix", _IS_FIX.search(gap) is not None or (group.links[-1:] == ("fix",) and "it's" in gap)),
        ("and", " and " in gap),
        ("or", _IS_OR.search(gap) is not None),
    )
    return next((kind for kind, fits in kinds if fits), "list")


def _without_others(line: Line, group: Group) -> list[Group]:
    numbers, links = group.numbers, group.links
    other = [is_counted(line, number) for number in numbers]
    for index in reversed(range(len(links))):  # "four or five frames": the first counts frames too
        near = numbers[index].value <= numbers[index + 1].value <= 3 * numbers[index].value
        other[index] |= other[index + 1] and near
    if not any(is_named(line, number) for number in numbers):
        for index, number in enumerate(numbers):
            other[index] |= is_other(line, number, alone=not group.in_range(index))
    for index, link in enumerate(links):
        here, following = numbers[index], numbers[index + 1]
        if link == "to" and line.pieces[here.end].text == "-" and following.value <= here.value:
            other[index] = other[index + 1] = True  # "fifty-fifty"
        if other[index] and link in ("or", "to", "list"):  # "version four or five", "he's 14, 15"
            few = following.value <= FEW and following.value <= 2 * here.value
            other[index + 1] |= few or 0 < following.value - here.value < 3
    return group.where([not is_out for is_out in other])


def ranges(line: Line, group: Group, bounds: Bounds) -> list[SaidFrames]:
    """The frame ranges that a group names, in the order said; positions are in pieces."""
    group = _corrected(group)
    spans = _extents(line, group, bounds)
    found: list[SaidFrames] = []
    index = 0
    while index < len(spans):
        end = _end_of_range(group, spans, index)
        said = group.numbers[index : end + 1]
        first, last = spans[index][0], max(spans[end][1], spans[index][0])
        rough = any(is_approximate(line, number) for number in said)
        doubt = bounds.doubt(first, last) or _doubtful_form(line, said)
        found.append(SaidFrames(said[0].start, said[-1].end, first, last, rough, doubt))
        index = end + 1
    return found


def _doubtful_form(line: Line, said: Sequence[SpokenNumber]) -> str | None:
    if is_drawing(line, said[0]):
        return DRAWING.format(said[0].value)
    clock = next((number for number in said if number.form == "clock"), None)
    return None if clock is None else CLOCK.format(line.pieces[clock.start].text, clock.value)


def _corrected(group: Group) -> Group:
    """Without what the mentor put right at once: "150 or whatever, 152"."""
    numbers, links = list(group.numbers), list(group.links)
    while "fix" in links:
        place = links.index("fix")
        numbers[place + 1] = replace(numbers[place + 1], start=numbers[place].start)
        del numbers[place], links[place]
    return Group(tuple(numbers), tuple(links))


def _extents(line: Line, group: Group, bounds: Bounds) -> list[tuple[int, int]]:
    """First and last frame of each number by itself: a decade has ten."""
    spans: list[tuple[int, int]] = []
    for number, value in zip(group.numbers, group.values(bounds), strict=True):
        low = high = 0
        if number.form == "decade":
            part = _PART_OF_DECADE.search(line.before(number.start))
            low, high = _DECADE_PARTS[part[1]] if part else (0, 9)
        spans.append((value + low, value + high))
    return spans


def _end_of_range(group: Group, spans: Sequence[tuple[int, int]], start: int) -> int:
    """The index of the last number of the range that begins at `start`; `start` itself for a single frame."""

    def run(joining: tuple[Link, ...], least: int, most: float) -> int:
        end = start
        while end < len(group.links) and group.links[end] in joining:
            if not least <= spans[end + 1][1] - spans[end][0] <= most:
                break
            end += 1
        return end

    end = run(("to",), 0, float("inf"))
    if end > start:
        return end
    if start < len(group.links) and spans[start + 1] == spans[start]:
        return start  # said twice
    leading = run(("list", "to"), 1, 2)  # "87, 89", two drawings that follow on twos; "28, 30, up to 34"
    if leading < len(group.links) and group.links[leading] == "to" and spans[leading + 1][1] > spans[leading][0]:
        return leading + 1
    if start == 0 and group.links == ("list",):
        return leading
    return run(("list", "and", "or"), 0, 1)
