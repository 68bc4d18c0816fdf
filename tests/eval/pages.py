"""Pages that show what the reading of each critique got wrong, and a table of the causes over all of them.

A page a critique and style: gold notes, what was said and predicted notes side by side; `index.html` holds the
scores and the causes, each count with links to the notes.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import score
from diagnosis import CAUSES, LABELS, STYLES, Diagnosis, Error, Note, Reading, value
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from critsheet.sheet import Word, write_whole

HERE = Path(__file__).parent
ROW_WORDS = 8
"""A stretch of speech this long is cut where a note begins, so that notes stand beside their words."""

ROUNDING_S = 0.02
"""Word times are rounded; a character takes 0.07 s."""

UNSCORED = ("subject", "place")
CONFUSED = ("category", "kind", "scope", "strength", "followup")
"""Causes of which it is worth knowing what was taken for what, in this order."""

CONFUSIONS = 10
"""So many confusions of category are printed; the index holds all."""

Case = tuple[Reading, Diagnosis]
Places = Mapping[str, list[tuple[Reading, Error]]]
"""Errors by style, each with the reading it is in."""

Moment = tuple[str, int]
"""A note's tag, and which of its moments."""


@dataclass(frozen=True)
class Label:
    """A label of a note beside the speech; `gold` is empty where it is right."""

    name: str
    value: str
    gold: str


@dataclass(frozen=True)
class Card:
    """A note beside the speech, or with `again` a later moment of it."""

    tag: str
    again: bool
    marks: tuple[str, ...]
    hints: tuple[str, ...]
    labels: tuple[Label, ...]
    note: Note


@dataclass
class Run:
    """Words that belong to the same notes, with the notes that begin and end there; `side` as a CSS class."""

    opening: list[str]
    side: str
    text: str
    closing: list[str]


@dataclass
class Row:
    """A stretch of speech with the notes that begin in it."""

    start_s: float
    gold: list[Card] = field(default_factory=list)
    found: list[Card] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)


def rows(reading: Reading, diagnosis: Diagnosis) -> list[Row]:
    """The speech in order, cut into stretches, with the notes that begin in each."""
    words = reading.critique.transcript.words
    begins, owners = moments_of_words(words, diagnosis)
    fresh = {segment.words[0].start for segment in reading.critique.transcript.segments}
    out: list[Row] = []
    length = 0
    for i, word in enumerate(words):
        if not out or word.start in fresh or (begins[i] and length >= ROW_WORDS):
            out.append(Row(word.start))
            length = 0
        length += 1
        row = out[-1]
        for name, place in begins[i]:
            (row.gold if name in diagnosis.gold else row.found).append(card(diagnosis, name, again=place > 0))
        before, after = owners[i - 1] if i else [], owners[i + 1] if i + 1 < len(words) else []
        opening = [name for name, place in owners[i] if (name, place) not in before]
        closing = [name for name, place in owners[i] if (name, place) not in after]
        side = " ".join(sorted({"gold" if name in diagnosis.gold else "found" for name, _ in owners[i]}))
        add(row, Run(opening, side, word.text, closing))
    return out


def moments_of_words(words: Sequence[Word], diagnosis: Diagnosis) -> tuple[list[list[Moment]], list[list[Moment]]]:
    """For each word the moments of notes that begin there, and those it belongs to."""
    begins: list[list[Moment]] = [[] for _ in words]
    owners: list[list[Moment]] = [[] for _ in words]
    middles = [(word.start + word.end) / 2 for word in words]
    for name, note in (*diagnosis.gold.items(), *diagnosis.found.items()):
        for place, (start, end) in enumerate(score.spans(note)):
            first = next((i for i, at in enumerate(middles) if at >= start - ROUNDING_S), len(words) - 1)
            begins[first].append((name, place))
            for i in range(first, len(words)):
                if middles[i] <= end + ROUNDING_S:
                    owners[i].append((name, place))
    return begins, owners


def add(row: Row, run: Run) -> None:
    """Adds words to a row, to the run before them where no note begins or ends between them."""
    last = row.runs[-1] if row.runs else None
    if last and last.side == run.side and not last.closing and not run.opening:
        last.text += f" {run.text}"
        last.closing = run.closing
    else:
        row.runs.append(run)


def card(diagnosis: Diagnosis, name: str, again: bool) -> Card:
    """A note as it stands beside the speech."""
    note = diagnosis.found.get(name) or diagnosis.gold[name]
    gold = diagnosis.gold.get(diagnosis.partner.get(name, ""), note)
    pairs = [(label, value(note, label), value(gold, label)) for label in (*LABELS, *UNSCORED)]
    labels = tuple(Label(name, ours, "" if ours == theirs else theirs) for name, ours, theirs in pairs)
    return Card(name, again, tuple(diagnosis.marks(name)), tuple(diagnosis.hints(name)), labels, note)


def actions(diagnosis: Diagnosis) -> list[tuple[str, str]]:
    """Gold and predicted tags whose actions stand side by side; a note with no partner stands alone."""
    pairs = [(name, diagnosis.partner.get(name, "")) for name in diagnosis.gold]
    return pairs + [("", name) for name in diagnosis.found if name not in diagnosis.partner]


# --- causes over all critiques ---------------------------------------------------------------------


@dataclass(frozen=True)
class Causes:
    """The errors of many readings by cause, and by cause and "gold → predicted"."""

    by_cause: dict[str, Places]
    confusions: dict[tuple[str, str], Places]

    @classmethod
    def of(cls, cases: Iterable[Case]) -> "Causes":
        """Gathers the errors of all cases, the commonest confusions first."""
        by_cause: dict[str, Places] = {cause: {style: [] for style in STYLES} for cause in CAUSES}
        confusions: dict[tuple[str, str], Places] = defaultdict(lambda: {style: [] for style in STYLES})
        for reading, diagnosis in cases:
            for error in diagnosis.errors:
                by_cause[error.cause][reading.style].append((reading, error))
                if error.cause in CONFUSED:
                    confusions[error.cause, error.detail][reading.style].append((reading, error))
        order = sorted(confusions, key=lambda key: (CONFUSED.index(key[0]), -total(confusions[key]), key))
        return cls(by_cause, {key: confusions[key] for key in order})


def total(places: Places) -> int:
    """The errors of all styles."""
    return sum(len(errors) for errors in places.values())


def cause_table(causes: Causes) -> str:
    """The causes for the terminal, a line each, and the commonest confusions of category."""
    categories = [(detail, places) for (cause, detail), places in causes.confusions.items() if cause == "category"]
    width = max(len(text) for text in CAUSES.values())
    parts = [("ERRORS BY CAUSE", causes.by_cause), ("CATEGORY, gold → predicted", dict(categories[:CONFUSIONS]))]
    out = []
    for heading, counted in parts:
        out.append(f"\n{heading:{width}}" + "".join(f"{style:>14}" for style in STYLES))
        out += [
            f"{CAUSES.get(name, name):{width}}" + "".join(f"{len(places[style]):>14}" for style in STYLES)
            for name, places in counted.items()
        ]
    return "\n".join(out)


# --- writing ---------------------------------------------------------------------------------------


def write(
    readings: Sequence[Reading], lines: Sequence[tuple[str, Mapping[str, float]]], columns: Sequence[str], folder: Path
) -> Causes:
    """Writes a page a reading and the index over the pages of before, each whole or not at all; returns the causes.

    `lines` are the score table's: a label and a number a column. Raises OutputError where the folder cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    environment = Environment(
        loader=FileSystemLoader(HERE), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {"clock": clock, "page": page_name}
    template = environment.get_template("page.html.j2")
    cases = [(reading, Diagnosis.of(reading)) for reading in readings]
    causes = Causes.of(cases)
    shared = {"columns": columns, "names": CAUSES, "styles": STYLES, "readings": readings}
    for reading, diagnosis in cases:
        view = {"reading": reading, "diagnosis": diagnosis, "rows": rows(reading, diagnosis)}
        own = Causes.of([(reading, diagnosis)]).by_cause
        html = template.render(shared | view | {"own": own, "actions": actions(diagnosis)})
        write_whole(folder / page_name(reading), html)
    write_whole(folder / "index.html", template.render(shared | {"reading": None, "causes": causes, "lines": lines}))
    return causes


def page_name(reading: Reading) -> str:
    """The file name of a reading's page."""
    return f"{reading.critique.name}-{reading.style.replace(' ', '-')}.html"


def clock(seconds: float) -> str:
    """A time as m:ss."""
    return f"{int(seconds) // 60}:{int(seconds) % 60:02}"
