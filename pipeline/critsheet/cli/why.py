"""`critsheet why`: what decided the labels of each note."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from critsheet.notes.why import Why
    from critsheet.sheet import Sheet

_SheetFile = Annotated[
    Path, typer.Argument(metavar="SHEET", help="The sheet.json that critsheet make wrote.", show_default=False)
]
_Note = Annotated[str | None, typer.Option("--note", metavar="ID", help="One note only: n3.")]
_Vocab = Annotated[
    list[Path] | None, typer.Option("--vocab", metavar="DIR", help="The folders of words that the sheet was made with.")
]


def why(sheet: _SheetFile, note: _Note = None, vocab: _Vocab = None) -> None:
    """Show what decided the labels of the notes: the words, and what the vocabulary found in them.

    It listens to the words of the sheet once more, as the program understood them before any correction.

    Example: critsheet why critsheet-talk/sheet.json --note n3
    """
    from critsheet import vocabulary
    from critsheet.errors import InputError
    from critsheet.notes.why import why as reasons
    from critsheet.sheet import Shot, load

    made = load(sheet)
    options = made.settings.get("options") or {}
    numbered = made.shot if made.shot and options.get("frames") else Shot(fps=made.shot.fps if made.shot else "24")
    found = reasons(made.transcript, vocabulary.load(tuple(vocab or ())), numbered, tuple(options.get("names") or ()))
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
