"""Joins numbers that are said together, and reads ranges and lists from them: "one twenty to one thirty", "12, 13, 14"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from critsheet.language.frame_cues import FEW, HEDGED, HEDGES, is_approximate, is_counted, is_drawing, is_named, is_other
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
    rf",? (?:(?:{_TO}|{_FIX}|and|or|or so|back to|-|'s|frames?|drawings?|f|x|at|then|"
    rf"ish|odd|or something|the (?:mid|middle|early|late|low|high)(?: -)?|mid(?: -)?|{HEDGES}),? )*"
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


def settled(line: Line, numbers: Sequence[SpokenNumber], bounds: Bounds) -> list[SpokenNumber]:
    """The numbers, each taken as one ("ten twenty-four" as 1024) or apart (as 10 and 24), as suits the shot."""
    found: list[SpokenNumber] = []
    for number in numbers:
        if number.form == "clock" and not (bounds.hold(number.value) and (number.value >= 1000 or is_named(line, number))):
            continue
        found += number.parts if _stands_apart(line, number, bounds) else [number]
    return found


def _stands_apart(line: Line, number: SpokenNumber, bounds: Bounds) -> bool:
    if len(number.parts) != 2:
        return False
    head, tail = (part.value for part in number.parts)
    if bounds.hold(number.value):
        if number.form == "digits":
            return bounds.hold(head)
        return bounds.hold(head) and bounds.hold(tail) and tail - head in (1, 2)
    return head >= 10 or 0 < tail - head <= NEIGHBOURS or number.form == "digits"


def groups(line: Line, numbers: Sequence[SpokenNumber]) -> list[Group]:
    """The numbers in groups; those that count something, or are labels, ages and lengths, are left out."""
    found: list[Group] = []
    together: list[SpokenNumber] = []
    links: list[Link] = []
    for number in numbers:
        link = _link(line, together, number) if together else None
        if together and link is None:
            found += _without_others(line, Group(tuple(together), tuple(links)))
            together, links = [], []
        elif link is not None:
            links.append(link)
        together.append(number)
    return found + (_without_others(line, Group(tuple(together), tuple(links))) if together else [])


def _link(line: Line, together: Sequence[SpokenNumber], number: SpokenNumber) -> Link | None:
    before = together[-1]
    gap = line.pieces[before.end - 1].stop + " " + line.between(before.end, number.start)
    if _GAP.fullmatch(gap) is None:
        return None
    if "back" in gap:
        return "back"
    if _IS_TO.search(gap):
        return "to"
    if _IS_FIX.search(gap):
        return "fix"
    if re.search(r"\band\b", gap):
        return "to" if len(together) == 1 and _BETWEEN.search(line.before(before.start)) else "and"
    return "or" if _IS_OR.search(gap) else "list"


def _without_others(line: Line, group: Group) -> list[Group]:
    numbers = group.numbers
    ranged = [
        "to" in group.links[max(0, index - 1) : index + 1] and max(n.value for n in numbers[max(0, index - 1) : index + 2]) > FEW
        for index in range(len(numbers))
    ]
    named = any(is_named(line, number) for number in numbers)
    other = [is_counted(line, number) for number in numbers]
    for index in range(len(numbers) - 2, -1, -1):  # "four or five frames": the first counts frames too
        other[index] |= other[index + 1] and numbers[index].value <= numbers[index + 1].value
    for index, number in enumerate(numbers):
        pair = index < len(group.links) and group.links[index] == "to" and line.pieces[number.end].text == "-"
        if pair and numbers[index + 1].value <= number.value:
            other[index] = other[index + 1] = True  # "fifty-fifty"
        if not named:
            other[index] |= is_other(line, number, alone=not ranged[index])
        if index and other[index - 1] and group.links[index - 1] in ("or", "to", "list"):
            other[index] |= number.value <= 2 * numbers[index - 1].value and number.value <= FEW  # "version four or five"
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
    values = whole_values(group, bounds)
    for index, number in enumerate(group.numbers):
        first = last = number.value
        if number.form == "decade":
            part = _PART_OF_DECADE.search(line.before(number.start))
            low, high = _DECADE_PARTS[part[1]] if part else (0, 9)
            first, last = number.value + low, number.value + high
        added = values[index] - number.value
        spans.append((first + added, last + added))
    return spans


def whole_values(group: Group, bounds: Bounds) -> list[int]:
    """The numbers' values, short forms completed: "eighty to five" is 80, 85; "three-oh-nine, ten" is 309, 310."""
    values = [group.numbers[0].value]
    for number, link in zip(group.numbers[1:], group.links, strict=True):
        values.append(_completed(values[-1], number.value, link, bounds))
    return values


def _completed(before: int, value: int, link: Link, bounds: Bounds) -> int:
    if value >= before or link == "back" or (link != "to" and bounds.hold(value)):
        return value
    scale = 10 if value < 10 else 100
    whole = before - before % scale + value
    return whole if value < 100 and before < whole and bounds.hold(whole) else value


def _end_of_range(group: Group, spans: Sequence[tuple[int, int]], start: int) -> int:
    """The index of the last number of the range that begins at `start`; `start` itself for a single frame."""
    end = start
    while end < len(group.links) and group.links[end] in ("to", "list") and "to" in group.links[end:] and spans[end + 1][1] > spans[end][0]:
        end += 1
    while end < len(group.links) and group.links[end] == "to" and spans[end + 1][1] >= spans[end][0]:
        end += 1
    if end > start:
        return end
    if end < len(group.links) and spans[end + 1] == spans[end]:
        return end  # said twice
    while end < len(group.links) and group.links[end] in ("list", "and", "or") and spans[end + 1][0] - spans[end][0] in (0, 1):
        end += 1
    pair = start == 0 and group.links == ("list",) and spans[1][0] - spans[0][0] == 2
    return 1 if pair else end  # "87, 89": two drawings that follow each other on twos
