"""Frames that lean on a frame named before: "ten frames later", "from there to 130", "stays open till 152"."""

import re
from collections.abc import Sequence
from dataclasses import replace

from critsheet.language.frame_cues import HEDGED
from critsheet.language.frame_spans import Bounds, SaidFrames
from critsheet.language.lexemes import Line
from critsheet.language.numbers import SpokenNumber

NEAR = 40
"""Pieces (words, nearly) within which "ten frames later" counts from the frame named last: two sentences or three."""

FAR = 80
"""Pieces within which "from there" still means the frame named last: a new sentence or two."""

_LATER_BEFORE = re.compile(r"(?:(?:^|[.,] )(?:and |then |but |so )*|\b(?:and|then|but|until|till) )(?:(?:about|maybe|like|just|only) )*$")
_LATER_AFTER = re.compile(
    r" frames? (?P<way>later|after that|before that|earlier)(?=[,.]|$| (?:he|she|it|they|we|you|i|the|his|her|there|that|this|and"
    r"|he's|she's|it's|they're|there's|you've|we're|nothing|everything)\b)"
)
_FROM_THERE = re.compile(rf"\bfrom there,? (?:on |right |all the way )*(?:through |up )?(?:to|till|until|through) {HEDGED}$")
_UNTIL = r"(?:right |all the way |out |up |through )*(?:to|till|til|until|through)"
_ENDS_HOLD = re.compile(rf"\b(?:till|til|until|out to|through to) {HEDGED}$")
_HOLD = re.compile(r"(?<!n't )\b(?<!not )(?<!never )(?:stays?|stayed|staying|sits?|stuck|still|frozen|remains?|lasts?|slides|skates|creeps|drifts|floats"
    r"|goes on|keeps|carries on|hangs|hold (?:him|her|it|them|that) out)\b(?!.*(?:n't|not|never|nothing)\b)")
_AIM = re.compile(r"\b(?:should|would like|i'd like|i'd want|want|wants|needs? to)\b[^.]*$")
_FROM = re.compile(rf"\bfrom,? {HEDGED}$")
_ENDS_FROM = re.compile(rf"\b(?:{_UNTIL}|by) {HEDGED}$")
_AND_BY = re.compile(rf"\band,? (?:then )?by {HEDGED}$")


def joined(line: Line, said: Sequence[SaidFrames]) -> list[SaidFrames]:
    """The frames in order, those that begin and end one stretch made into one range."""
    found: list[SaidFrames] = []
    for here in sorted(said, key=lambda frames: (frames.start, frames.end)):
        last = found[-1] if found else None
        if last is not None and _from_there(line, last, here):
            found.append(replace(here, first=last.last))
        elif last is not None and _one_stretch(line, last, here):
            doubt = last.doubt or here.doubt
            found[-1] = SaidFrames(
                last.start, here.end, last.first, here.last, last.approximate or here.approximate, doubt
            )
        else:
            found.append(here)
    return found


def _from_there(line: Line, last: SaidFrames, here: SaidFrames) -> bool:
    near = here.start - last.end <= FAR and last.last < here.first
    return near and _FROM_THERE.search(line.before(here.start)) is not None


def _one_stretch(line: Line, last: SaidFrames, here: SaidFrames) -> bool:
    """Whether `here` ends what begins at `last`: "from 66 it's on the bar and by 78 it's away down"."""
    if here.start - last.end > NEAR or last.last >= here.first or here.first != here.last or last.first != last.last:
        return False
    between, before = line.between(last.end, here.start), line.before(here.start)
    sentence_ended = "." in between or line.pieces[last.end - 1].stop == "."
    if not sentence_ended:
        if _FROM.search(line.before(last.start)) and _ENDS_FROM.search(before):
            return True
        if _AND_BY.search(before):
            return True
    aimed = _AIM.search(line.before(last.start)) is not None
    return not aimed and _ENDS_HOLD.search(before) is not None and _HOLD.search(between) is not None


def later(line: Line, numbers: Sequence[SpokenNumber], said: Sequence[SaidFrames], bounds: Bounds) -> list[SaidFrames]:
    """The frames meant by "ten frames later", counted from the frame named last just before."""
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
