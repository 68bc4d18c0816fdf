"""The checklist in the terminal, readable at 80 columns; rich leaves colour out where nobody sees it."""

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from critsheet.render import words
from critsheet.render.earlier_lines import earlier_lines
from critsheet.render.words import clock, plain
from critsheet.sheet import Note, Sheet

MAX_COLUMNS = 96
"""Longer lines are hard to read back to the next line's start."""
MIN_COLUMNS = 24
"""Narrower, a note would be a column of single words; better that the terminal breaks the lines."""
_INDENT = 4
_QUOTE_CHARACTERS = 140
"""About two lines of 80 columns: enough to recognise what was said; the page has the whole of it."""
_COLOURS = {
    words.FIRST: "bold red",
    words.THEN: "bold blue",
    words.TIME: "bold cyan",
    words.KEEP: "bold green",
    words.PLAN: "bold magenta",
}


def print_checklist(sheet: Sheet, console: Console) -> None:
    """Print the checklist on `console`, no wider than 96 columns and without trailing spaces."""
    width = max(MIN_COLUMNS, min(console.width, MAX_COLUMNS))
    for indent, mark, text in _lines(sheet):
        # Hung by hand: rich's tables and padding fill every line with spaces, which a pipe would keep.
        for place, line in enumerate(text.wrap(console, width - indent) or [text]):
            line.rstrip()
            lead = mark if place == 0 else ""
            hung = Text().append(f"{lead:>{indent - 1}} " if indent else "", style="bold").append_text(line)
            console.print(hung, soft_wrap=True)


def _lines(sheet: Sheet) -> Iterator[tuple[int, str, Text]]:
    """Each paragraph as its indent, the mark that hangs in it, and the text."""
    yield 0, "", Text(plain(sheet.review.title), style="bold underline")
    yield 0, "", Text(" · ".join(_heading(sheet)), style="dim")
    for doubt in sheet.doubts:
        yield 0, "", Text(f"Not sure: {plain(doubt)}", style="yellow")
    groups = words.grouped(sheet)
    for group in groups:
        yield 0, "", Text()
        yield 0, "", Text(group.title.upper(), style=_COLOURS[group.key])
        for entry in group.notes:
            mark = str(entry.number)
            for text in _note(entry.note):
                yield _INDENT, mark, text
                mark = ""
    if not groups:
        yield 0, "", Text()
        yield 0, "", Text("No notes were found in what was said.")
    for outcome in earlier_lines(sheet):
        yield 0, "", Text()
        yield 0, "", Text(f"From last time: {outcome.title}".upper(), style="bold")
        for action, about in outcome.notes:
            yield _INDENT, "–", Text(action)
            for line in about:
                yield _INDENT, "", Text(_short(line), style="dim")


def _heading(sheet: Sheet) -> list[str]:
    review, shot = sheet.review, sheet.shot
    parts = [f"for {plain(review.student)}"] if review.student else []
    parts += [f"from {plain(review.mentor)}"] if review.mentor else []
    parts += [f"submission {review.submission}"] if review.submission else []
    if shot is not None and shot.first is not None and shot.last is not None:
        parts.append(f"frames {shot.first}–{shot.last} at {shot.fps} fps")
    return [*parts, f"{clock(review.recording.duration)} of talk"]


def _note(note: Note) -> Iterator[Text]:
    yield Text().append("done: " if note.done else "", style="green").append(plain(note.action), style="bold")
    about = [", ".join((note.category, *note.also)), *words.facts(note), *words.own_words(note)]
    about += [f"at {words.listed(clock(moment.start) for moment in note.moments)}"] if note.moments else []
    yield Text(" · ".join(about), style="cyan")
    if note.moments:
        yield Text(f"“{_short(note.moments[0].quote)}”", style="italic")
    for doubt in note.doubts:
        yield Text(f"Not sure: {plain(doubt)}", style="yellow")


def _short(quote: str) -> str:
    quote = plain(quote)
    return quote if len(quote) <= _QUOTE_CHARACTERS else quote[:_QUOTE_CHARACTERS].rsplit(" ", 1)[0] + " …"
