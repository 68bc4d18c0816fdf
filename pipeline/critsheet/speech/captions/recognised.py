"""Reads what a recogniser such as faster-whisper wrote as JSON: segments with start, end, text and perhaps words."""

import json
import re
from dataclasses import replace
from typing import Any

from critsheet.speech.captions.cues import Captions, Cue, CueError, Piece, check_order, pieces_of

_START = re.compile(r"\s*(?:\{|\[\s*(?:\{|\]))")
_HUGE = 1e9
"""Seconds; beyond any recording, and within what a float can hold."""

_HINT = 'It must read {"segments": [{"start": 0.5, "end": 2.0, "text": "..."}]}, times in seconds.'


def looks_like(text: str) -> bool:
    """Whether a text is meant as JSON; "[0:05] Okay" is not."""
    return bool(_START.match(text.lstrip("\ufeff")))


def read(text: str) -> Captions:
    """The captions of a recogniser's JSON. Raises CueError where it is damaged or a time is missing or reversed."""
    try:
        document = json.loads(text.lstrip("\ufeff"))
    except json.JSONDecodeError as error:
        raise CueError(f"this is not whole JSON ({error.msg}).", _HINT, error.lineno) from error
    except (ValueError, RecursionError) as error:
        raise CueError("this JSON cannot be read.", _HINT) from error
    holder = document if isinstance(document, dict) else {"segments": document}
    if isinstance(holder.get("transcript"), dict):
        holder = holder["transcript"]
    segments, language = holder.get("segments"), holder.get("language", "en")
    if not isinstance(segments, list):
        raise CueError("there are no segments in it.", _HINT)
    cues = [_cue(segment, number) for number, segment in enumerate(segments, start=1)]
    return Captions(cues, language if isinstance(language, str) and language.isalpha() else "en")


def _cue(segment: Any, number: int) -> Cue:
    if not isinstance(segment, dict):
        raise CueError(f"segment {number} is not one.", _HINT)
    start = _time(segment, "start", number)
    end = _time(segment, "end", number) if segment.get("end") is not None else None
    if end is not None:
        _check(start, end, number)
    words = segment.get("words")
    pieces = _words(words, number) if isinstance(words, list) else []
    return Cue(start, end, tuple(pieces or pieces_of(_text(segment, "text", number))))


def _words(words: list[Any], number: int) -> list[Piece]:
    pieces: list[Piece] = []
    for word in words:
        if not isinstance(word, dict):
            raise CueError(f"segment {number} holds a word that is not one.", _HINT)
        text = _text(word, "word" if "word" in word else "text", number)
        found = pieces_of(text)
        if not found:
            continue
        start, end = _time(word, "start", number), _time(word, "end", number)
        _check(start, end, number)
        given = _number(word.get("probability"))
        sure = given if given is not None and 0 <= given <= 1 else 1.0
        found[0] = replace(found[0], start=start)
        found[-1] = replace(found[-1], end=end)
        pieces += [replace(piece, probability=sure) for piece in found]
    return pieces


def _check(start: float, end: float, number: int) -> None:
    try:
        check_order(start, end, None)
    except CueError as error:
        raise CueError(f"segment {number}: {error.what}", error.hint) from error


def _text(holder: dict[str, Any], key: str, number: int) -> str:
    text = holder.get(key)
    if not isinstance(text, str):
        raise CueError(f"segment {number} has no {key}.", _HINT)
    return text


def _time(holder: dict[str, Any], key: str, number: int) -> float:
    time = _number(holder.get(key))
    if time is None:
        raise CueError(f"segment {number} has no {key} time.", _HINT)
    return time


def _number(value: Any) -> float | None:
    """A finite number, or None for anything else."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < _HUGE:
        return None
    return float(value)
