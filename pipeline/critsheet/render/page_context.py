"""What the page's template may use: typed, plain and ready to show."""

import base64
from collections.abc import Mapping
from dataclasses import dataclass

from critsheet.render import words
from critsheet.render.recording import RecordingLink
from critsheet.render.words import Numbered, clock, plain
from critsheet.screen import Still
from critsheet.sheet import Note, Sheet, Word
from critsheet.vocabulary import CategoryEntry

PAUSE_S = 2.0
"""A silence this long starts a new paragraph of the transcript, as on paper."""
PARAGRAPH_S = 45.0
"""After this long the next sentence starts a new paragraph, so that every stretch has a time to jump to."""
_SENTENCE_END = (".", "?", "!")
_MINUTES = len("2026-01-31T10:00")


@dataclass(frozen=True)
class Time:
    """A place in the recording: `at` in seconds, `clock` for reading, `href` where it can be played or ""."""

    at: str
    clock: str
    href: str


@dataclass(frozen=True)
class Quote:
    """The mentor's words and when they were said."""

    time: Time
    text: str


@dataclass(frozen=True)
class Picture:
    """A still inside the page: `source` is its data, `text` what it shows, `labels` stand under a strip's frames."""

    kind: str
    source: str
    text: str
    labels: tuple[str, ...]
    width: int
    height: int


@dataclass(frozen=True)
class Entry:
    """One note. `help` is None where the vocabulary does not know the category."""

    id: str
    number: int
    tickable: bool
    done: str
    action: str
    category: str
    facts: tuple[str, ...]
    frames: str
    pictures: tuple[Picture, ...]
    quotes: tuple[Quote, ...]
    reasons: tuple[str, ...]
    doubts: tuple[str, ...]
    help: CategoryEntry | None


@dataclass(frozen=True)
class Section:
    """The notes of one priority; `key` as in `words.Group`."""

    key: str
    title: str
    about: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Run:
    """A run of transcript text; `raw` is what was heard where a repair changed it, otherwise ""."""

    text: str
    raw: str


@dataclass(frozen=True)
class Paragraph:
    """A stretch of the transcript."""

    time: Time
    runs: tuple[Run, ...]


@dataclass(frozen=True)
class Page:
    """Everything on the page. `boxes` and `made_by` are pairs of label and value; `repairs` as in words."""

    id: str
    title: str
    boxes: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    repairs: tuple[tuple[str, str, str], ...]
    paragraphs: tuple[Paragraph, ...]
    doubts: tuple[str, ...]
    cautions: tuple[str, ...]
    made_by: tuple[tuple[str, str], ...]
    recording: RecordingLink | None
    language: str


@dataclass(frozen=True)
class PageMaker:
    """Turns sheets into pages, given the vocabulary's categories, where the recording is, if anywhere, and stills."""

    categories: Mapping[str, CategoryEntry]
    recording: RecordingLink | None
    stills: Mapping[str, bytes]

    def page(self, sheet: Sheet) -> Page:
        """Everything the template needs to show `sheet`."""
        return Page(
            id=sheet.id,
            title=plain(sheet.review.title),
            boxes=tuple(_boxes(sheet)),
            sections=tuple(
                Section(group.key, group.title, group.about, tuple(map(self._entry, group.notes)))
                for group in words.grouped(sheet)
            ),
            repairs=tuple(words.repair_line(repair) for repair in sheet.transcript.repairs),
            paragraphs=tuple(map(self._paragraph, _paragraphs(sheet.transcript.words))),
            doubts=tuple(map(plain, sheet.doubts)),
            cautions=words.CAUTIONS,
            made_by=tuple(_pairs(sheet.settings)),
            recording=self.recording,
            language=sheet.transcript.language,
        )

    def _entry(self, entry: Numbered) -> Entry:
        note = entry.note
        at = words.frames(note.frames)
        return Entry(
            id=note.id,
            number=entry.number,
            tickable=note.kind != "keep",
            done=f"Done {plain(note.done.at)}. {plain(note.done.comment)}".strip() if note.done else "",
            action=plain(note.action),
            category=self._category(note),
            facts=tuple(fact for fact in words.facts(note) if fact != at),
            frames=at,
            pictures=tuple(self._picture(still) for still in note.stills if still.file in self.stills),
            quotes=tuple(Quote(self._time(one.start), plain(one.quote)) for one in note.moments),
            reasons=tuple(map(plain, note.reasons)),
            doubts=tuple(map(plain, note.doubts)),
            help=self.categories.get(note.category),
        )

    def _picture(self, still: Still) -> Picture:
        data = base64.b64encode(self.stills[still.file]).decode()
        seen = "" if still.seconds is None else f" at {clock(still.seconds)}"
        shown = f"frame {still.frames[0]}"
        text = {
            "screen": f"On screen{seen}: {shown}",
            "frame": f"The shot: {shown}",
            "strip": f"The shot, frames {still.frames[0]} to {still.frames[-1]}",
        }[still.kind]
        labels = tuple(map(str, still.frames)) if still.kind == "strip" else ()
        return Picture(still.kind, f"data:image/webp;base64,{data}", text, labels, still.width, still.height)

    def _category(self, note: Note) -> str:
        known = [self.categories.get(key) for key in (note.category, *note.also)]
        names = [entry.name if entry else key for entry, key in zip(known, (note.category, *note.also), strict=True)]
        joined = ", ".join(names).lower()
        return joined[:1].upper() + joined[1:]

    def _time(self, seconds: float) -> Time:
        at = f"{seconds:.2f}"
        # Media Fragments URI 1.0: "#t=" works even where the page's script may not run.
        return Time(at, clock(seconds), f"{self.recording.sources[0]}#t={at}" if self.recording else "")

    def _paragraph(self, paragraph: list[Word]) -> Paragraph:
        runs: list[Run] = []
        for word in paragraph:
            raw = plain(word.raw or "")
            if runs and not raw and not runs[-1].raw:
                runs[-1] = Run(f"{runs[-1].text} {plain(word.text)}", "")
            else:
                runs.append(Run(plain(word.text), raw))
        return Paragraph(self._time(paragraph[0].start), tuple(runs))


def _boxes(sheet: Sheet) -> list[tuple[str, str]]:
    review, shot = sheet.review, sheet.shot
    boxes = [
        ("For", plain(review.student or "")),
        ("From", plain(review.mentor or "")),
        ("Submission", str(review.submission or "")),
    ]
    if shot is not None:
        span = f"{shot.first}–{shot.last}" if shot.first is not None and shot.last is not None else ""
        boxes += [("Frames", span), ("Frames a second", shot.fps)]
    boxes += [
        ("Recording", plain(review.recording.file)),
        ("Length", clock(review.recording.duration)),
        ("Written", f"{plain(sheet.made[:_MINUTES].replace('T', ' '))} UTC"),
    ]
    return boxes


def _paragraphs(spoken: list[Word]) -> list[list[Word]]:
    paragraphs: list[list[Word]] = []
    for word in spoken:
        if paragraphs and not _turns(paragraphs[-1], word):
            paragraphs[-1].append(word)
        else:
            paragraphs.append([word])
    return paragraphs


def _turns(paragraph: list[Word], word: Word) -> bool:
    paused = word.start - paragraph[-1].end > PAUSE_S
    long = word.start - paragraph[0].start > PARAGRAPH_S
    return paused or (long and paragraph[-1].text.endswith(_SENTENCE_END))


def _pairs(settings: Mapping[str, object]) -> list[tuple[str, str]]:
    """Nested settings as flat pairs of label and value, empty ones left out."""
    flat: list[tuple[str, str]] = []
    for key, value in settings.items():
        if isinstance(value, Mapping):
            flat += [(f"{plain(key)}: {label}", text) for label, text in _pairs(value)]
        elif value not in (None, "", [], ()):
            items = value if isinstance(value, list | tuple) else [value]
            flat.append((plain(key), plain(", ".join(map(str, items)))))
    return flat
