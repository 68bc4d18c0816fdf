"""The labelled critiques as transcripts with gold notes: punctuated as written, and as raw captions."""

import hashlib
import random
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import casefile

from critsheet.language.subjects import split_names
from critsheet.sheet import Segment, Shot, Transcript, Word

HERE = Path(__file__).parent
HELD_OUT = HERE / "cases"
CORPUS = HERE / "corpus"
RAW_MARKS = 0.02
"""A critique with fewer sentence marks than this a word is written as raw captions."""


@dataclass(frozen=True)
class Critique:
    """One labelled critique. `gold` has the form that score.py reads; `spans` are (note, start_s, end_s)."""

    name: str
    raw: bool
    transcript: Transcript
    shot: Shot
    names: tuple[str, ...]
    spans: tuple[tuple[str, float, float], ...]
    gold: dict[str, Any]


def files() -> list[Path]:
    """All labelled critiques, in a fixed order."""
    return sorted([*HELD_OUT.glob("*.md"), *CORPUS.glob("*.md")], key=lambda path: path.stem)


def corpus_hash(paths: list[Path]) -> str:
    """SHA-256 over the critiques, in hex."""
    digest = hashlib.sha256()
    for path in paths:
        digest.update(path.name.encode() + path.read_bytes())
    return digest.hexdigest()


def is_raw(path: Path) -> bool:
    """Whether a critique is written as raw captions, without punctuation."""
    text = casefile.parse(path)[1]
    return len(re.findall(r"[.?!]", text)) < RAW_MARKS * len(text.split())


def critique(path: Path, raw: bool = False) -> Critique:
    """A labelled critique; with `raw`, stripped of capitals and punctuation as automatic captions are."""
    meta, plain, spans, labels = casefile.parse(path)
    times, top = casefile.clock(plain), labels.pop("top")
    first, last = (int(part) for part in re.fullmatch(r"(\d+)-(\d+)", str(meta["shot"])).groups())
    notes = [
        {"id": note, "moments": [[times[a], times[b - 1]] for other, a, b in spans if other == note], **label}
        for note, label in labels.items()
    ]
    raw = raw or is_raw(path)
    return Critique(
        name=path.stem,
        raw=raw,
        transcript=_transcript(plain, times, raw),
        shot=Shot(fps=str(meta["fps"]), first=first, last=last),
        names=split_names(str(meta["characters"])),
        spans=tuple((note, times[a], times[b - 1]) for note, a, b in spans),
        gold={"notes": notes, "top": top},
    )


def _transcript(plain: str, times: list[float], raw: bool) -> Transcript:
    """One segment a paragraph, each word at the time its characters are spoken."""
    segments = []
    for paragraph in re.finditer(r"\S.*?(?=\n\s*\n|\Z)", plain, re.DOTALL):
        words = []
        for match in re.finditer(r"\S+", paragraph.group()):
            a, b = paragraph.start() + match.start(), paragraph.start() + match.end()
            text = re.sub(r"[^\w'’\- ]+|(?<!\w)-|-(?!\w)", "", match.group().lower()) if raw else match.group()
            if text:
                words.append(Word(start=round(times[a], 2), end=round(times[b - 1], 2), text=text))
        segments.append(
            Segment(
                start=words[0].start,
                end=words[-1].end,
                text=" ".join(w.text for w in words),
                words=tuple(words),
            )
        )
    return Transcript(language="en", segments=tuple(segments))


_OPENERS = frozenset(
    "and so but because then now or which where when if he she it i that this there they we you".split()
)
_KEPT, _TURNED = 0.6, 0.2
"""Of the marks written, so many are kept and so many become another one; the others go."""
_STOP_BEFORE_OPENER, _COMMA_BEFORE_OPENER, _COMMA_ANYWHERE = 0.08, 0.12, 0.01
_UNPUNCTUATED = 3.0
"""Where nothing was punctuated, stops are guessed so many times as often."""


def as_recognised(item: Critique) -> Critique:
    """The critique punctuated as a recogniser guesses it: mostly right, here and there in mid-sentence.

    The shares are common among recognisers of free speech (by eye, on spoken critiques; no source). Always the same for
    the same critique.
    """
    chance = random.Random(item.name)
    segments = []
    for segment in item.transcript.segments:
        words, starts = [], True
        for word, following in zip(segment.words, [*segment.words[1:], None], strict=True):
            bare = word.text.rstrip(".,;:?!…—-") or word.text
            mark = _guessed(word.text[len(bare) :], following.text.lower() if following else None, item.raw, chance)
            text = bare[0].upper() + bare[1:] if starts else bare
            words.append(word.model_copy(update={"text": text + mark}))
            starts = mark in {".", "?"}
        text = " ".join(word.text for word in words)
        segments.append(segment.model_copy(update={"text": text, "words": tuple(words)}))
    return replace(item, transcript=item.transcript.model_copy(update={"segments": tuple(segments)}))


def _guessed(written: str, following: str | None, raw: bool, chance: random.Random) -> str:
    if following is None:
        return "."
    drawn = chance.random()
    if written:
        stop = written[0] in ".?!…"
        kept = "?" if written[0] == "?" else "." if stop else ","
        other = "," if stop else "."
        return kept if drawn < _KEPT else other if drawn < _KEPT + _TURNED else ""
    often = _UNPUNCTUATED if raw else 1.0
    if following in _OPENERS:
        stop_s = _STOP_BEFORE_OPENER * often
        return "." if drawn < stop_s else "," if drawn < stop_s + _COMMA_BEFORE_OPENER else ""
    return "," if drawn < _COMMA_ANYWHERE else ""
