"""Frames that lean on a frame named before: "ten frames later", "from there to 130", "stays open till 152"."""

import re
from collections.abc import Sequence
from dataclasses import replace

from critsheet.language.frame_patterns import HEDGED, any_of
from critsheet.language.frame_spans import Bounds, SaidFrames, order_said
from critsheet.language.lexemes import Line
from critsheet.language.numbers import SpokenNumber

NEAR = 40
"""Pieces (words, nearly) within which words lean on the frame named last: two sentences or three."""

FAR = 80
"""Pieces within which "from there" still means the frame named last: a new sentence or two."""

_LATER_BEFORE = re.compile(
    r"(?:(?:^|[.,] )(?:and |then |but |so )*|\b(?:and|then|but|until|till) )(?:(?:about|maybe|like|just|only) )*$"
)
_LATER_AFTER = re.compile(
    r" frames? (?P<way>later|after that|before that|earlier)(?=,(?! and\b)|$"
    rf"| (?:{any_of('he she it they we you i the his her there that this and nothing everything')}"
    r"|(?:he|she|it|there)'s|(?:they|we)'re|you've)\b)"
)
_UNTIL = r"(?:right |all the way |out |up |through )*(?:to|till|til|until|through)"
_FROM_THERE = re.compile(rf"\bfrom there,? (?:on )?{_UNTIL} {HEDGED}$")
_FROM = re.compile(rf"\bfrom,? {HEDGED}$")
_ENDS_FROM = re.compile(rf"\b(?:{_UNTIL}|by|and (?:then )?at) {HEDGED}$")
_BY = re.compile(rf"\bby {HEDGED}$")
_GOES_IN = re.compile(r"\b(?:gone|goes|go|going|went) (?:\w+ )?(?:in|into|down|through|under|inside|behind)\b")
_COMES_OUT = re.compile(rf"\b(?:comes?|it's|is)(?: \w+){{0,3}}? (?:out|up|back)(?: \w+){{0,3}} (?:at|by) {HEDGED}$")
_LASTS = re.compile(
    rf"(?<!n't )\b(?<!not )(?<!never )(?:{any_of('stay stays stayed staying sit sits stuck still frozen')}"
    rf"|{any_of('remain remains last lasts slides skates creeps drifts floats keeps hang hangs lives')}"
    r"|goes on|carries on|hold (?:him|her|it|them|that) out)\b(?!.*(?:n't|not|never|nothing)\b)"
)
_OPENS_UNTIL = re.compile(rf"(?:^|\. )(?:and )?(?:till|til|until) {HEDGED}$")
_ENDS_LASTING = re.compile(rf"\b(?:till|til|until|out to|through to) {HEDGED}$")
_AIMED = re.compile(r"\b(?:should|would like|i'd like|i'd want|want|wants|needs? to)\b[^.]*$")


def joined(line: Line, said: Sequence[SaidFrames]) -> list[SaidFrames]:
    """The frames in order, those that begin and end one stretch made into one range."""
    found: list[SaidFrames] = []
    for here in sorted(said, key=order_said):
        last = found[-1] if found else None
        if last is not None and _is_from_there(line, last, here):
            found.append(replace(here, first=last.last))
        elif last is not None and _is_one_stretch(line, last, here):
            rough = last.approximate or here.approximate
            found[-1] = replace(last, end=here.end, last=here.last, approximate=rough, doubt=last.doubt or here.doubt)
        else:
            found.append(here)
    return found


def _is_from_there(line: Line, last: SaidFrames, here: SaidFrames) -> bool:
    near = here.start - last.end <= FAR and last.last < here.first
    return near and _FROM_THERE.search(line.before(here.start)) is not None


def _is_one_stretch(line: Line, last: SaidFrames, here: SaidFrames) -> bool:
    """Whether `here` ends what begins at `last`: "from 66 it's on the bar and by 78 it's away down"."""
    single = here.first == here.last and last.first == last.last
    if not single or here.start - last.end > NEAR or last.last >= here.first:
        return False
    between, before, begins = line.between(last.end, here.start), line.before(here.start), line.before(last.start)
    one_sentence = "." not in line.pieces[last.end - 1].stop + between
    starts = _FROM.search(begins) is not None and _ENDS_FROM.search(before) is not None
    aimed = _AIMED.search(begins + between) is not None
    if one_sentence and (starts or (_BY.search(before) is not None and not aimed)):
        return True
    lasting = _LASTS.search(between) is not None and _ENDS_LASTING.search(before) is not None
    passing = _GOES_IN.search(begins + between) is not None and _COMES_OUT.search(between) is not None
    return not aimed and (lasting or passing or _OPENS_UNTIL.search(before) is not None)


def later(line: Line, numbers: Sequence[SpokenNumber], said: Sequence[SaidFrames], bounds: Bounds) -> list[SaidFrames]:
    """The frames meant by "ten frames later, he blinks", counted from the frame named last just before.

    "Two frames later." and "two frames later, and squash it" ask for a delay.
    """
    found: list[SaidFrames] = []
    for number in numbers:
        after = _LATER_AFTER.match(line.after(number.end))
        bases = [frames for frames in said if number.start - NEAR <= frames.end <= number.start]
        if after is None or not bases:
            continue
        base = max(bases, key=lambda frames: frames.end)
        if base.end < number.start and _LATER_BEFORE.search(line.before(number.start)) is None:
            continue
        back = after["way"] in ("before that", "earlier")
        frame = base.first - number.value if back else base.last + number.value
        if bounds.hold(frame):
            found.append(SaidFrames(number.start, number.end + len(after[0].split()), frame, frame))
    return found
