"""The form of a WebVTT file (W3C Candidate Recommendation, 4 April 2019)."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Cue:
    """Lines of plain text and when they are shown, in milliseconds; `end_ms` must lie after `start_ms`."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]


def document(cues: Iterable[Cue]) -> str:
    """The cues, which stand in order of time, as a whole file."""
    blocks = ["WEBVTT"]
    for cue in cues:
        text = "\n".join(_escape(line) for line in cue.lines)
        blocks.append(f"{_time(cue.start_ms)} --> {_time(cue.end_ms)}\n{text}")
    return "\n\n".join(blocks) + "\n"


def _escape(line: str) -> str:
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _time(milliseconds: int) -> str:
    seconds, thousandths = divmod(milliseconds, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{thousandths:03}"
