"""Reads captions in place of sound: WebVTT, SubRip, plain lines with times, and recognisers' JSON."""

from collections.abc import Callable
from pathlib import Path

from critsheet.errors import InputError, NothingSaid
from critsheet.sheet import Transcript
from critsheet.speech.captions import lines, recognised, subtitles
from critsheet.speech.captions.cues import Captions, CueError, to_transcript
from critsheet.speech.captions.encoding import decode

MAX_BYTES = 20_000_000
"""Four hours of word-by-word captions take 5 MB."""

_OPEN_HINT = "Captions are .vtt, .srt, .json or .txt files with times."

_Reader = Callable[[str], Captions]


def read_captions(path: Path) -> Transcript:
    """What a caption file says, its words spread evenly over each caption where it gives no times for them.

    Captions out of order are sorted, lines that roll up the screen are read once, and markup, control characters and
    notes such as [Music] are left out. Raises InputError, naming the line where it can, for a file that is no caption
    file, is too long, or has missing or reversed times, and NothingSaid for one without words.
    """
    content = _content(path)
    text = decode(content)
    if text is None:
        raise InputError(f"{path} is not a caption file.", _OPEN_HINT)
    try:
        transcript = to_transcript(_reader(text)(text))
    except CueError as error:
        place = f"{path}, line {error.line}" if error.line else str(path)
        raise InputError(f"{place}: {error.what}", error.hint) from error
    if not transcript.segments:
        raise NothingSaid(f"{path} holds no words.", "Choose the file with the captions of the talk.")
    return transcript


def _content(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise InputError(f"{path} is a folder, not a caption file.", "Name one file inside it.")
        if not path.exists():
            raise InputError(f"There is no file {path}.", "Check the name and the folder.")
        if path.stat().st_size > MAX_BYTES:
            raise InputError(f"{path} is too large for a caption file.", _OPEN_HINT)
        content = path.read_bytes()
    except OSError as error:
        raise InputError(f"Cannot read {path}: {error.strerror or error}.", "Check the file's permissions.") from error
    if not content.strip():
        raise InputError(f"{path} is empty.", "Export the captions again.")
    return content


def _reader(text: str) -> _Reader:
    """The reader for a text, by what it holds: file names lie."""
    if recognised.looks_like(text):
        return recognised.read
    if subtitles.looks_like(text):
        return subtitles.read
    return lines.read
