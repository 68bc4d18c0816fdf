"""The labelled critiques as transcripts with gold notes: punctuated as written, and as raw captions."""

import hashlib
import re
from dataclasses import dataclass
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
