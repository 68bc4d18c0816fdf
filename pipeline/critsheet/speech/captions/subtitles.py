"""Reads WebVTT and SubRip, whose captions are told by their line of times.

WebVTT: W3C Candidate Recommendation, 4 April 2019, section 4; SubRip has no standard, and is read as players do.
Both may hold a time before single words, which live captions use: <00:00:01.200>.
"""

import re
from dataclasses import dataclass, field

from critsheet.speech.captions.cues import Captions, Cue, CueError, Piece, check_order, pieces_of

_ARROW = "-->"
_TIME = r"(?:(\d{1,4}):)?(\d{1,2}):(\d{1,2})(?:[.,](\d{1,3}))?"
_TIMES = re.compile(rf"\s*{_TIME}\s*-->\s*{_TIME}(?:\s.*)?")
_WORD_TIME = re.compile(rf"<{_TIME}>")
_WORD_TIME_GROUPS = 4
_LANGUAGE = re.compile(r"Language:\s*([A-Za-z]{2,3})\b.*")
_WITHOUT_WORDS = re.compile(r"(?:NOTE|STYLE|REGION)(?:\s|$)")
_HINT = "Write them as 00:01:02.500 --> 00:01:04.000, or export the captions again."


@dataclass
class _Open:
    """A caption whose text is still being read."""

    start: float
    end: float
    line: int
    text: list[str] = field(default_factory=list)


def looks_like(text: str) -> bool:
    """Whether a text is WebVTT or SubRip."""
    return text.lstrip("\ufeff \t\r\n").startswith("WEBVTT") or _ARROW in text


def read(text: str) -> Captions:
    """The captions of a WebVTT or SubRip text. Raises CueError for a time that is missing, unreadable or reversed."""
    lines = text.splitlines()
    is_webvtt = bool(lines) and lines[0].lstrip("\ufeff").startswith("WEBVTT")
    first, language = _after_header(lines) if is_webvtt else (0, "en")
    cues: list[_Open] = []
    number = first
    while number < len(lines):
        block_end = _block_end(lines, number)
        if block_end > number and not (is_webvtt and _WITHOUT_WORDS.match(lines[number])):
            _read_block(lines, number, block_end, cues)
        number = block_end + 1
    return Captions([_cue(cue) for cue in cues], language)


def _after_header(lines: list[str]) -> tuple[int, str]:
    """The line after WebVTT's header, and the language that the header names."""
    end = 1
    while end < len(lines) and lines[end].strip() and _ARROW not in lines[end]:
        end += 1
    found = [match[1].lower() for match in map(_LANGUAGE.fullmatch, lines[1:end]) if match]
    return end, found[0] if found else "en"


def _block_end(lines: list[str], number: int) -> int:
    """The next empty line, or the end."""
    while number < len(lines) and lines[number].strip():
        number += 1
    return number


def _read_block(lines: list[str], number: int, end: int, cues: list[_Open]) -> None:
    """Reads lines number..end, which hold one caption, or several where empty lines between them are missing."""
    named = end - number > 1 and _ARROW in lines[number + 1]
    if not named and _ARROW not in lines[number]:
        _read_untimed(lines, number, end, cues)
        return
    for place in range(number + named, end):
        if _ARROW in lines[place]:
            if place > number + named and cues[-1].text and _is_name(cues[-1].text[-1]):
                cues[-1].text.pop()
            cues.append(_opened(lines[place], place + 1))
        else:
            cues[-1].text.append(lines[place])


def _read_untimed(lines: list[str], number: int, end: int, cues: list[_Open]) -> None:
    """A block without times continues the caption before it, unless it is numbered like one of its own."""
    if not cues or (_is_name(lines[number]) and end - number > 1):
        raise CueError("this caption has no times.", _HINT, number + 1)
    cues[-1].text += lines[number:end]


def _is_name(line: str) -> bool:
    """Whether a line is the running number above a caption's times."""
    return line.strip().isdecimal()


def _opened(line: str, number: int) -> _Open:
    match = _TIMES.fullmatch(line)
    if not match:
        raise CueError("the times of this caption cannot be read.", _HINT, number)
    start, end = _seconds(match.groups()[:4]), _seconds(match.groups()[4:])
    check_order(start, end, number)
    return _Open(start, end, number)


def _seconds(groups: tuple[str | None, ...]) -> float:
    hours, minutes, seconds, fraction = groups
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0)
    return whole + int((fraction or "0").ljust(3, "0")) / 1000


def _cue(cue: _Open) -> Cue:
    """The caption's words, those after a time of their own with it."""
    parts = _WORD_TIME.split("\n".join(cue.text))
    pieces: list[Piece] = pieces_of(parts[0])
    step = _WORD_TIME_GROUPS + 1
    for place in range(1, len(parts), step):
        at = _seconds(tuple(parts[place : place + _WORD_TIME_GROUPS]))
        within = at if cue.start <= at <= cue.end else None
        pieces += pieces_of(parts[place + _WORD_TIME_GROUPS], within)
    return Cue(cue.start, cue.end, tuple(pieces), cue.line)
