"""Which numbers in a critique are frames of the shot, and which ranges they make."""

from collections.abc import Sequence
from dataclasses import replace

from critsheet.language.frame_cues import FEW, MOST_FRAMES_HELD, Manner, is_frame, is_named, is_placed, opens_clause
from critsheet.language.frame_groups import Group, groups, ranges, settled, whole_values
from critsheet.language.frame_joins import joined, later
from critsheet.language.frame_measures import measured
from critsheet.language.frame_spans import Bounds, SaidFrames
from critsheet.language.lexemes import Line, lexemes
from critsheet.language.numbers import SpokenNumber, numbers_in
from critsheet.sheet import Shot

SHORTENED = "only the last figures were said; taken as frame {}"

OFTEN = 3
"""A mentor who has clearly named this many frames speaks in frames."""

FEW_AROUND = 5
"""A list of at most this many frames ("12, 13, 14") after a frame is about that one frame."""

__all__ = ["SaidFrames", "frames_of_note", "said_frames"]


def said_frames(words: Sequence[str], shot: Shot) -> list[SaidFrames]:
    """The frames named in a whole transcript's words, in order; `start` and `end` are word indexes, end exclusive.

    Durations, offsets, counts, versions, ages and times of day are left out, and numbers outside the shot
    unless they are called frames.
    """
    pieces = lexemes(words)
    line, bounds = Line(pieces), Bounds.of(shot)
    numbers = [number for number in numbers_in(pieces) if number.form != "ordinal"]
    other = measured(pieces, numbers, bounds, shot.rate)
    plain = settled(line, [number for number in numbers if number not in other.used], bounds)
    manner = _manner(line, plain, bounds)
    said = list(other.said)
    for group in groups(line, plain):
        shortened = _shortened(line, group, bounds, said[-1].last if len(said) > len(other.said) else None)
        for part in _naming(line, shortened or group, bounds, manner):
            found = ranges(line, part, bounds)
            said += [replace(frames, doubt=SHORTENED.format(frames.last)) for frames in found] if shortened else found
    said = joined(line, said)
    said += later(line, numbers, said, bounds)
    return [
        replace(frames, start=pieces[frames.start].word, end=pieces[frames.end - 1].word + 1)
        for frames in sorted(said, key=lambda frames: (frames.start, frames.end))
    ]


def _manner(line: Line, numbers: Sequence[SpokenNumber], bounds: Bounds) -> Manner:
    named = [n for n in numbers if bounds.hold(n.value) and (is_named(line, n) or (n.value > FEW and is_placed(line, n)))]
    digits = any(number.form == "digits" and number.value > FEW for number in numbers)
    return Manner(digits, zero=bounds.first == 0, often=len(named) >= OFTEN)


def _is_tally(values: Sequence[int]) -> bool:
    """Whether a list counts: "one, two, three", "twelve, twelve, twelve", "fourteen, sixteen, twelve, sixteen"."""
    if len(values) < 3 or max(values) > MOST_FRAMES_HELD:
        return False
    if list(values) in (list(range(1, len(values) + 1)), [5, 6, 7, 8]):
        return True
    different = len(set(values))
    return different == 1 or (different > 2 and list(values) != sorted(values))


def _shortened(line: Line, group: Group, bounds: Bounds, last: int | None) -> Group | None:
    """The group with its hundreds added, where a mentor who is at 1019 says "and then it's soft on twenty-one"."""
    number = group.numbers[0]
    if last is None or len(group.numbers) > 1 or bounds.hold(number.value) or not FEW < number.value < 100:
        return None
    whole = last - last % 100 + number.value
    if not bounds.hold(whole) or abs(whole - last) > 50 or not is_placed(line, number):
        return None
    return Group((replace(number, value=whole),), ())


def _naming(line: Line, group: Group, bounds: Bounds, manner: Manner) -> list[Group]:
    """The parts of a group that name frames: sure ones, and weaker ones that are joined to them."""
    numbers = group.numbers
    if _is_tally([number.value for number in numbers]) and not is_named(line, numbers[0]):
        return []
    values = whole_values(group, bounds)
    named = False
    kept: list[bool] = []
    for index, number in enumerate(numbers):
        linked = index < len(numbers) - 1
        named = named or is_named(line, number)
        in_a_row = linked and number.value > FEW and values[index + 1] == values[index] + 1
        kept.append(named or (bounds.hold(number.value) and (in_a_row or is_frame(line, number, manner, linked))))
    for order in (range(1, len(numbers)), range(len(numbers) - 2, -1, -1)):
        for index in order:
            neighbour = index - order.step
            stretch = group.links[min(index, neighbour)] in ("to", "back", "fix")
            clear = numbers[index].value > FEW or numbers[index].form == "digits" or opens_clause(line, numbers[index])
            clear = clear or abs(values[index] - values[neighbour]) == 1
            kept[index] |= kept[neighbour] and (stretch or (clear and bounds.hold(values[index])))
    return group.where(kept)


def frames_of_note(said: Sequence[SaidFrames]) -> tuple[SaidFrames, ...]:
    """The ranges of one note, sorted, each once; a frame that a range says more exactly goes.

    "F 12 ... 12, 13, 14" is 12 to 14; "101 to 111 ... on 104 he's off the floor" keeps both. A note that names
    nothing but frames in a row ("at 88 he sees it and at 89 he's up") is about the stretch.
    """
    kept: dict[tuple[int, int], SaidFrames] = {}
    for here in sorted(said, key=lambda frames: (frames.start, frames.end)):
        if not any(_restates(other, here) for other in said):
            kept.setdefault((here.first, here.last), here)
    frames = tuple(kept[key] for key in sorted(kept))
    values = [here.first for here in frames]
    ordered = [here.start for here in frames] == sorted(here.start for here in frames)
    plain = ordered and all(here.first == here.last and not here.approximate for here in frames)
    if plain and len(frames) > 1 and values == list(range(values[0], values[0] + len(values))):
        return (replace(frames[0], end=max(here.end for here in frames), last=values[-1]),)
    return frames


def _restates(wide: SaidFrames, one: SaidFrames) -> bool:
    """Whether a range says more exactly what a frame said: it begins or ends there, or lists a few around it."""
    if one.first != one.last or wide.first == wide.last or not wide.first <= one.first <= wide.last:
        return False
    listed = one.start < wide.start and wide.last - wide.first < FEW_AROUND
    return listed or one.first in (wide.first, wide.last)
