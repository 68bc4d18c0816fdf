"""The notes as chapters of the recording, and of the shot, in WebVTT (W3C Candidate Recommendation, 4 April 2019)."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from critsheet.frames.timebase import TimeBase
from critsheet.render import webvtt, words
from critsheet.render.words import Numbered, plain
from critsheet.sheet import Sheet


@dataclass(frozen=True)
class _Stretch:
    """A stretch of a clock, `end` exclusive, and the title of the note that belongs to it."""

    start: Fraction
    end: Fraction
    title: str


def to_chapters(sheet: Sheet) -> str:
    """A chapter each time a note is spoken of, on the recording's clock; two that overlap share a chapter."""
    return _document(
        _Stretch(Fraction(moment.start), Fraction(moment.end), _title(entry))
        for entry in _entries(sheet)
        for moment in entry.note.moments
    )


def to_shot_chapters(sheet: Sheet) -> str:
    """A chapter for each stretch of the shot that notes are about, on the shot's clock: 0 at its first frame.

    It holds every note of these frames; "WEBVTT" alone where no note is tied to a frame.
    """
    base = TimeBase(sheet.shot.rate, words.first_frame(sheet)) if sheet.shot else None
    return _document(
        _Stretch(max(Fraction(0), base.start_of(span.first)), base.start_of(span.last + 1), _title(entry))
        for entry in _entries(sheet)
        for span in entry.note.frames
        if base is not None
    )


def _entries(sheet: Sheet) -> list[Numbered]:
    return [entry for group in words.grouped(sheet) for entry in group.notes]


def _title(entry: Numbered) -> str:
    return f"{entry.number}. {plain(entry.note.action)}"


def _document(stretches: Iterable[_Stretch]) -> str:
    """Chapters may not overlap in part: the clock is cut wherever a stretch begins or ends."""
    found = [stretch for stretch in stretches if stretch.end > stretch.start]
    cuts = sorted({edge for stretch in found for edge in (stretch.start, stretch.end)})
    pieces = [(start, end, _titles(found, start)) for start, end in pairwise(cuts)]
    return webvtt.document(webvtt.Cue(round(a * 1000), round(b * 1000), titles) for a, b, titles in pieces if titles)


def _titles(stretches: Sequence[_Stretch], at: Fraction) -> tuple[str, ...]:
    titles: Mapping[str, None] = dict.fromkeys(one.title for one in stretches if one.start <= at < one.end)
    return tuple(titles)
