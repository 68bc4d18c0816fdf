"""`critsheet why`: what decided the labels of each note."""

from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options

if TYPE_CHECKING:
    from critsheet.notes.why import Why
    from critsheet.sheet import Sheet

_Note = Annotated[str | None, typer.Option("--note", metavar="ID", help="One note only: n3.")]


def why(sheet: options.SheetFile, note: _Note = None, vocab: options.MadeWith = None) -> None:
    """Show what decided the labels of the notes: the words, and what the vocabulary found in them.

    It listens to the words of the sheet once more, as the program understood them before any correction.

    Example: critsheet why critsheet-talk/sheet.json --note n3
    """
    from critsheet import frames, vocabulary
    from critsheet.errors import InputError
    from critsheet.notes.why import why as reasons
    from critsheet.sheet import Shot, load

    made = load(sheet)
    used = made.settings.get("options") or {}
    shot = frames.as_said(made.shot or Shot(), typed=bool(used.get("frames")))
    found = reasons(made.transcript, vocabulary.load(tuple(vocab or ())), shot, tuple(used.get("names") or ()))
    chosen = [one for one in found if note in (None, one.note)]
    if not chosen:
        known = ", ".join(one.note for one in found) or "none"
        raise InputError(f"{sheet} has no note {note!r}.", f"Its notes: {known}.")
    for one in chosen:
        _print(one, made)


def _print(one: "Why", sheet: "Sheet") -> None:
    from rich.console import Console
    from rich.text import Text

    from critsheet.render.words import plain

    console = Console()
    action = next((note.action for note in sheet.notes if note.id == one.note), "")
    console.print(Text(f"{one.note}  {plain(action)}", style="bold"), soft_wrap=True)
    console.print(Text(f"    said: {plain(one.quote)}"), soft_wrap=True)
    for phrase in one.phrases:
        console.print(Text(f"    vocabulary: {plain(phrase)}"), soft_wrap=True)
    for made in one.decisions:
        told = "; ".join(plain(piece) for piece in made.evidence) or "nothing in particular"
        console.print(Text(f"    {made.of}: {made.label} ({made.chance:.0%}) by {told}"), soft_wrap=True)
