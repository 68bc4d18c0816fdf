"""Which numbers in a critique are frames of the shot, and which ranges they make."""

from collections.abc import Sequence
from dataclasses import replace

from critsheet.language.frame_cues import (
    FEW,
    MOST_FRAMES_HELD,
    Manner,
    is_bounded,
    is_counted,
    is_frame,
    is_named,
    is_nth_frame,
    is_other,
    is_outset,
    is_placed,
    opens_clause,
)
from critsheet.language.frame_groups import Group, groups, ranges, settled
from critsheet.language.frame_joins import NEAR, joined, later
from critsheet.language.frame_measures import measured
from critsheet.language.frame_spans import Bounds, SaidFrames, order_said
from critsheet.language.lexemes import Line, lexemes
from critsheet.language.numbers import SpokenNumber, numbers_in
from critsheet.sheet import Shot

__all__ = ["SaidFrames", "frames_of_note", "said_frames"]

SHORTENED = "only the last figures were said; taken as frame {}"

FURTHEST_SHORTENED = 50
"""A mentor drops the hundreds only for frames near the one named last."""

OFTEN = 3
"""A mentor who has clearly named this many frames speaks in frames."""

FEW_AROUND = 5
"""A list of at most this many frames ("12, 13, 14") after a frame is about that one frame."""


def said_frames(words: Sequence[str], shot: Shot) -> list[SaidFrames]:
    """The frames named in a whole transcript's words, in order; `start` and `end` are word indexes, end exclusive.

    Durations, offsets, counts, versions, ages and times of day are left out, and numbers outside the shot
    unless they are called frames.
    """
    pieces = lexemes(words)
    line, bounds = Line(pieces), Bounds.of(shot)
    numbers = [number for number in numbers_in(pieces) if number.form != "ordinal" or is_nth_frame(line, number)]
    other = measured(line, numbers, bounds, shot.rate)
    plain = settled(line, [number for number in numbers if number not in other.used], bounds)
    said = joined(line, [*other.said, *_numbered(line, plain, bounds)])
    said += later(line, numbers, said, bounds)
    return [
        replace(frames, start=pieces[frames.start].word, end=pieces[frames.end - 1].word + 1)
        for frames in sorted(said, key=order_said)
    ]


def _numbered(line: Line, numbers: Sequence[SpokenNumber], bounds: Bounds) -> list[SaidFrames]:
    """The frames that are said by their number."""
    manner = _manner(line, numbers, bounds)
    said: list[SaidFrames] = []
    for group in groups(line, numbers):
        whole = _lengthened(line, group, bounds, said[-1]) if said else None
        for part in _naming(line, whole or group, bounds, manner):
            found = ranges(line, part, bounds)
            said += found if whole is None else [replace(here, doubt=SHORTENED.format(here.last)) for here in found]
    return said


def _manner(line: Line, numbers: Sequence[SpokenNumber], bounds: Bounds) -> Manner:
    named = 0
    for number in numbers:
        clear = is_named(line, number) or (number.value > FEW and is_placed(line, number))
        large = number.value > MOST_FRAMES_HELD and not is_counted(line, number) and not is_other(line, number, True)
        named += (clear or large) and bounds.hold(number.value)
    digits = any(number.form == "digits" and number.value > FEW for number in numbers)
    return Manner(digits, zero=bounds.first == 0, often=named >= OFTEN)


def _lengthened(line: Line, group: Group, bounds: Bounds, last: SaidFrames) -> Group | None:
    """The group with its hundreds added, where a mentor who is at 1019 says "and then it's soft on twenty-one"."""
    number = group.numbers[0]
    if group.links or bounds.hold(number.value) or not FEW < number.value < 100:
        return None
    whole = last.last - last.last % 100 + number.value
    near = number.start - last.end <= NEAR and abs(whole - last.last) <= FURTHEST_SHORTENED
    told = is_placed(line, number) and (whole == last.last or not opens_clause(line, number))
    lengthened = near and told and bounds.hold(whole)
    return Group((replace(number, value=whole),), ()) if lengthened else None


def _naming(line: Line, group: Group, bounds: Bounds, manner: Manner) -> list[Group]:
    """The parts of a group that name frames: sure ones, and weaker ones that are joined to them."""
    numbers, values = group.numbers, group.values(bounds)
    named = False
    kept: list[bool] = []
    for index, number in enumerate(numbers):
        goes_on = index < len(group.links)
        named = named or (is_named(line, number) and not is_outset(line, number, bounds.first))
        in_a_row = goes_on and number.value > FEW and values[index + 1] == values[index] + 1
        kept.append(named or (bounds.hold(number.value) and (in_a_row or is_frame(line, number, manner, goes_on))))
    if _is_tally([number.value for number in numbers]) and not named:
        return []
    forth = [(index, index + 1) for index in range(len(group.links))]
    for index, neighbour in [*((there, here) for here, there in forth), *reversed(forth)]:
        number = numbers[index]
        stretch = group.links[min(index, neighbour)] in ("to", "back", "fix")
        apart = opens_clause(line, number) or abs(values[index] - values[neighbour]) == 1
        bounded = index < len(group.links) or is_bounded(line, number)
        clear = number.value > FEW or number.form == "digits" or (apart and bounded)
        kept[index] |= kept[neighbour] and (stretch or (clear and bounds.hold(values[index])))
    return group.where(kept)


def _is_tally(values: Sequence[int]) -> bool:
    """Whether a list counts: "one, two, three", "twelve, twelve, twelve", "fourteen, sixteen, twelve, sixteen"."""
    if len(values) < 3 or max(values) > MOST_FRAMES_HELD:
        return False
    if list(values) in (list(range(1, len(values) + 1)), [5, 6, 7, 8]):
        return True
    different = len(set(values))
    return different == 1 or (different > 2 and list(values) != sorted(values))


def frames_of_note(said: Sequence[SaidFrames]) -> tuple[SaidFrames, ...]:
    """The ranges of one note, sorted, each once; a frame that a range says more exactly goes.

    "F 12 ... 12, 13, 14" is 12 to 14; "101 to 111 ... on 104 he's off the floor" keeps both. A note that names
    nothing but frames in a row ("at 88 he sees it and at 89 he's up") is about the stretch.
    """
    kept: dict[tuple[int, int], SaidFrames] = {}
    for here in sorted(said, key=order_said):
        if not any(_restates(other, here) for other in said):
            kept.setdefault((here.first, here.last), here)
    frames = tuple(kept[key] for key in sorted(kept))
    return (_stretch(frames),) if _are_in_a_row(frames) else frames


def _are_in_a_row(frames: Sequence[SaidFrames]) -> bool:
    """Whether frames, sorted by number, follow each other one by one, exactly; two of them in the order said."""
    pairs = list(zip(frames, frames[1:], strict=False))
    exact = all(here.first == here.last and not here.approximate for here in frames)
    ordered = len(pairs) > 1 or all(a.start < b.start for a, b in pairs)
    return bool(pairs) and exact and ordered and all(a.first + 1 == b.first for a, b in pairs)


def _stretch(frames: Sequence[SaidFrames]) -> SaidFrames:
    doubt = next((here.doubt for here in frames if here.doubt), None)
    return replace(frames[0], end=frames[-1].end, last=frames[-1].last, doubt=doubt)


def _restates(wide: SaidFrames, one: SaidFrames) -> bool:
    """Whether a range says more exactly what a frame said: it begins or ends there, or lists a few around it."""
    if one.first != one.last or wide.first == wide.last or not wide.first <= one.first <= wide.last:
        return False
    listed = one.start < wide.start and wide.last - wide.first < FEW_AROUND
    return listed or one.first in (wide.first, wide.last)
