"""Reads plain text with times before what is said, in the line or above it: "[0:05] Okay", "1:02:03 Okay"."""

import re
from bisect import bisect
from itertools import accumulate

from critsheet.speech.captions.cues import Captions, Cue, CueError, check_order, pieces_of

_TIME = r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d{1,3}))?"
_MARK = re.compile(
    rf"(?:^[ \t]*[\[(<]?[ \t]*|\[){_TIME}(?:[ \t]*(?:-+>?|–|—|to)[ \t]*{_TIME})?(?:[ \t]*[\])>]|(?=[ \t:|–—-]|$))"
    r"[ \t]*(?:[-–—:|][ \t]+)?",
    re.MULTILINE,
)
"""A time that opens a line, bare or in brackets, or one in square brackets anywhere; perhaps with the end after it."""

_HINT = "Write a time before each line, such as [0:05] or 1:02:03, or export captions as .vtt or .srt."


def read(text: str) -> Captions:
    """The captions of a text with times. Raises CueError where it has none, or one that runs backwards."""
    marks = list(_MARK.finditer(text))
    if not marks:
        raise CueError("this text has no times.", _HINT)
    line_starts = list(accumulate((len(line) for line in text.splitlines(keepends=True)), initial=0))
    cues = []
    if before := pieces_of(text[: marks[0].start()]):
        cues.append(Cue(0.0, None, tuple(before), 1))
    for mark, following in zip(marks, [*marks[1:], None], strict=True):
        line = bisect(line_starts, mark.start())
        start, end = _seconds(mark.groups()[:4]), None
        if mark[6] is not None:
            end = _seconds(mark.groups()[4:])
            check_order(start, end, line)
        said = text[mark.end() : following.start() if following else len(text)]
        cues.append(Cue(start, end, tuple(pieces_of(said)), line))
    return Captions(cues)


def _seconds(groups: tuple[str | None, ...]) -> float:
    hours, minutes, seconds, fraction = groups
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0)
    return whole + int((fraction or "0").ljust(3, "0")) / 1000
