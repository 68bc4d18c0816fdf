"""What the page's templates may use: typed, plain and ready to show.

A template sees `page` (a `Page`) and what hangs from it (also from `drawings`), `t` (the `Texts` of the sheet's
language) and, as `style`, `scripts` and `policy`, what stands in the head of the page. Every part below is used by the
templates that come with Critsheet, and these use nothing else; a test holds both together. Text is plain and not yet
escaped: Jinja2 does that.
"""

from dataclasses import dataclass

from critsheet.render.drawings import Ruler, Strip, Time
from critsheet.render.recording import RecordingLink


@dataclass(frozen=True)
class Quote:
    """The mentor's words, when they were said, and the id of the sentence in the talk, or ""."""

    time: Time
    text: str
    sentence: str


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
class Logo:
    """A school's logo, as data inside the page."""

    source: str


@dataclass(frozen=True)
class Help:
    """What the program says of a category: its name, what it means, why it matters, the usual remedy, how to check."""

    name: str
    meaning: str
    why: str
    remedy: str
    check: str


@dataclass(frozen=True)
class Keys:
    """What a note is found by: canonical names, several parted by spaces; `subject` as it is shown."""

    categories: str
    subject: str
    parts: str


@dataclass(frozen=True)
class Pointer:
    """A note referred to: its id, its running number and its action."""

    id: str
    number: int
    action: str


@dataclass(frozen=True)
class Entry:
    """One note. `step` counts the steps of a plan and is 0 elsewhere; `leads` sets the first three apart.

    `done`, `done_at` and `comment` are the student's tick. `help` is None where nobody says what the category means.
    `frames` is in words, `facts` are short and without frames.
    """

    id: str
    number: int
    step: int
    leads: bool
    tickable: bool
    done: bool
    done_at: str
    comment: str
    action: str
    own_words: bool
    no_remedy: bool
    category: str
    facts: tuple[str, ...]
    frames: str
    ruler: Ruler | None
    pictures: tuple[Picture, ...]
    quotes: tuple[Quote, ...]
    reasons: tuple[str, ...]
    doubts: tuple[str, ...]
    help: Help | None
    keys: Keys


@dataclass(frozen=True)
class Section:
    """The notes of one priority; `key` as in `words.Group`."""

    key: str
    title: str
    about: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Map:
    """Where the notes are in the shot and in the talk. `most` says where most is asked, `untied` has no frames."""

    shot: Strip | None
    talk: Strip | None
    most: str
    untied: tuple[Pointer, ...]


@dataclass(frozen=True)
class Option:
    """A choice of a filter and the number of notes it leaves."""

    value: str
    name: str
    count: int


@dataclass(frozen=True)
class Filter:
    """A choice between notes: by category, subject, part or priority; `title` names it."""

    key: str
    title: str
    options: tuple[Option, ...]


@dataclass(frozen=True)
class Count:
    """How many notes there are of a kind, and the words that follow the number."""

    n: int
    name: str


@dataclass(frozen=True)
class Letter:
    """What stands first: what matters most, how much there is, what works, what became of the last notes.

    `nothing` says why nothing matters most; `kept` are the first few of what works, `more_kept` how many there are yet.
    """

    above_all: Pointer | None
    nothing: str
    counts: tuple[Count, ...]
    done: int
    tickable: int
    kept: tuple[Pointer, ...]
    more_kept: str
    earlier: str


@dataclass(frozen=True)
class EarlierNote:
    """A note of an earlier sheet: `note` is the one that takes it up now, `said_done` what the student ticked."""

    action: str
    facts: tuple[str, ...]
    said_done: str
    comment: str
    doubt: str
    note: Pointer | None


@dataclass(frozen=True)
class Outcome:
    """The earlier notes that came out the same: `key` is resolved, repeated or not-mentioned."""

    key: str
    title: str
    notes: tuple[EarlierNote, ...]


@dataclass(frozen=True)
class Repair:
    """A misheard word put right: clock time, what was heard, what it is read as."""

    clock: str
    heard: str
    read: str


@dataclass(frozen=True)
class Run:
    """A run of words; `heard` is what was heard where a repair changed it, otherwise ""."""

    text: str
    heard: str


@dataclass(frozen=True)
class Sentence:
    """A sentence of the talk, or the part of it that belongs to `notes`; without notes it was left out."""

    id: str
    runs: tuple[Run, ...]
    notes: tuple[Pointer, ...]


@dataclass(frozen=True)
class Paragraph:
    """A stretch of the talk."""

    time: Time
    sentences: tuple[Sentence, ...]


@dataclass(frozen=True)
class Talk:
    """Everything that was said, in the language `language`; `share` says how much of it went into notes."""

    language: str
    share: str
    paragraphs: tuple[Paragraph, ...]


@dataclass(frozen=True)
class Box:
    """A box of a form: its label and what stands in it."""

    label: str
    value: str


@dataclass(frozen=True)
class Page:
    """Everything on the page. `sheet` is the sheet's id, `form` what kind of paper this is."""

    sheet: str
    form: str
    title: str
    logo: Logo | None
    boxes: tuple[Box, ...]
    doubts: tuple[str, ...]
    letter: Letter
    recording: RecordingLink | None
    filters: tuple[Filter, ...]
    sections: tuple[Section, ...]
    map: Map
    earlier: tuple[Outcome, ...]
    repairs: tuple[Repair, ...]
    cautions: tuple[str, ...]
    talk: Talk
    made: tuple[Box, ...]
