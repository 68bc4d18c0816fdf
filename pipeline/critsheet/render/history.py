"""The history of a shot as a page of its own, and as a table in the terminal."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from critsheet.history.shot_history import NoteHistory, ShotHistory, Step
from critsheet.render.page import source_hash
from critsheet.render.page_context import Box, Logo
from critsheet.render.templates import read_templates
from critsheet.render.texts import Texts, english
from critsheet.render.words import plain
from critsheet.sheet import Sheet

if TYPE_CHECKING:
    from rich.table import Table

PAGE, STYLE = "history.html", "history.css"
OPEN, SOLVED, PASSED = "open", "solved", "passed"
MOST_COLUMNS = 6
"""Submissions that stand side by side in a terminal of 80 columns; the page has them all."""
_DAY = len("2026-01-31")


@dataclass(frozen=True)
class Column:
    """A submission: its title ("Submission 2"), and day and mentor under it."""

    title: str
    about: tuple[str, ...]


@dataclass(frozen=True)
class Cell:
    """What became of a note in one submission; `key` is new, repeated, not-mentioned, resolved, or "" for nothing.

    `column` is the submission's title; `ticked` and `comment` are the student's.
    """

    key: str
    text: str
    column: str
    ticked: str
    comment: str
    doubt: str


@dataclass(frozen=True)
class Row:
    """A note over all submissions."""

    action: str
    facts: tuple[str, ...]
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Group:
    """The notes that are still open, those that are solved, or plans; `key` says which."""

    key: str
    title: str
    about: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class HistoryPage:
    """Everything on the page. `spoken` is the language of the talks, `form` what kind of paper this is."""

    form: str
    title: str
    logo: Logo | None
    boxes: tuple[Box, ...]
    summary: str
    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    caution: str
    spoken: str


def to_history_page(history: ShotHistory, school: Path | None = None) -> str:
    """The page as text, in the language of the last sheet. It fetches nothing and runs no script.

    Raises TemplateError for a mistake in a school's templates.
    """
    templates = read_templates(school, history.sheets[-1].language)
    style = templates.style(STYLE)
    policy = f"default-src 'none'; style-src {source_hash(style)}; base-uri 'none'; form-action 'none'"
    pictures = "; img-src data:" if templates.logo else ""
    values = {
        "page": history_page(history, templates.texts, templates.logo),
        "t": templates.texts,
        # Our own file, not escaped: the hash covers every byte between the tags.
        "style": Markup(style),
        "policy": policy + pictures,
    }
    return templates.render(values, PAGE)


def history_page(history: ShotHistory, texts: Texts, logo: Logo | None = None) -> HistoryPage:
    """What the page shows of a history."""
    last = history.sheets[-1]
    columns = tuple(_column(sheet, place, texts) for place, sheet in enumerate(history.sheets, 1))
    boxes = (
        Box(texts("history.of_student"), plain(last.review.student or "")),
        Box(texts("history.count"), str(len(columns))),
    )
    return HistoryPage(
        form=texts("history.form"),
        title=plain(last.review.title),
        logo=logo,
        boxes=tuple(box for box in boxes if box.value),
        summary=summary(history, texts),
        columns=columns,
        groups=tuple(_groups(history, columns, texts)),
        caution=texts("cautions.grading"),
        spoken=last.transcript.language,
    )


def summary(history: ShotHistory, texts: Texts) -> str:
    """How much is open and how much is solved, in a sentence or two."""
    if not history.notes:
        return texts("history.nothing_asked")
    n_open, n_solved = (sum(_key(one) == key for one in history.notes) for key in (OPEN, SOLVED))
    told = texts.count("history.open_notes", n_open) if n_open else texts("history.nothing_open")
    return f"{told} {texts.count('history.solved_notes', n_solved)}" if n_solved else told


def to_table(history: ShotHistory) -> "Table":
    """The history as a table for the terminal, with the latest submissions where there are many."""
    from rich import box
    from rich.table import Table
    from rich.text import Text

    page = history_page(history, english())
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    table.add_column(page_note := english()("history.note"), ratio=1, min_width=len(page_note) + 16)
    for sheet, column in list(zip(history.sheets, page.columns, strict=True))[-MOST_COLUMNS:]:
        table.add_column(Text(str(sheet.review.submission) if sheet.review.submission else column.title))
    for group in page.groups:
        table.add_section()
        table.add_row(Text(group.title.upper(), style="bold"))
        for row in group.rows:
            texts = [Text(cell.text, style=_STYLES[cell.key]) for cell in row.cells[-MOST_COLUMNS:]]
            table.add_row(Text(row.action), *texts)
    return table


_STYLES = {"new": "", "repeated": "bold red", "not-mentioned": "dim", "resolved": "green", "": ""}


def _column(sheet: Sheet, place: int, texts: Texts) -> Column:
    number = sheet.review.submission
    title = texts("history.submission", n=number) if number else texts("history.sheet", n=place)
    mentor = texts("history.from", mentor=plain(sheet.review.mentor)) if sheet.review.mentor else ""
    return Column(title, tuple(each for each in (plain(sheet.made)[:_DAY], mentor) if each))


def _groups(history: ShotHistory, columns: tuple[Column, ...], texts: Texts) -> Iterable[Group]:
    for key in (OPEN, SOLVED, PASSED):
        notes = [one for one in history.notes if _key(one) == key]
        if key == OPEN:
            notes.sort(key=lambda one: -one.raised)
        rows = tuple(_row(one, columns, texts) for one in notes)
        if rows:
            yield Group(key, texts(f"history.{key}.title"), texts(f"history.{key}.about"), rows)


def _key(one: NoteHistory) -> str:
    if one.open:
        return OPEN
    return SOLVED if any(step and step.what == "resolved" for step in one.steps) else PASSED


def _row(one: NoteHistory, columns: tuple[Column, ...], texts: Texts) -> Row:
    note = next((step.note for step in reversed(one.steps) if step and step.note and step.what != "resolved"), None)
    facts = (
        plain(note.subject or "") if note else "",
        texts.listed(texts(f"body.{part}") for part in note.body) if note and note.body else "",
    )
    cells = (_cell(step, column.title, texts) for step, column in zip(one.steps, columns, strict=True))
    return Row(plain(one.action), tuple(fact for fact in facts if fact), tuple(cells))


def _cell(step: Step | None, column: str, texts: Texts) -> Cell:
    if step is None:
        return Cell("", "", column, "", "", "")
    at = texts("earlier.at_date", at=plain(step.done.at)[:_DAY]) if step.done and step.done.at else ""
    return Cell(
        key=step.what.replace(" ", "-"),
        text=texts(f"history.{step.what.replace(' ', '_')}"),
        column=column,
        ticked=texts("history.ticked", at=at) if step.done else "",
        comment=plain(step.done.comment) if step.done else "",
        doubt=texts.said_by_program(plain(step.doubt or "")),
    )
