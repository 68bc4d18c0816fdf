"""`critsheet edit`: the mentor's last word on a sheet, typed in an editor of their choice."""

import os
import shlex
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from critsheet.cli import options
from critsheet.cli.console import complain, say
from critsheet.errors import CritsheetError, InputError, OutputError
from critsheet.form.guide import GUIDE

if TYPE_CHECKING:
    from critsheet.form.reading import FormError
    from critsheet.sheet import Sheet

EPILOG = "\n\n".join(
    (
        "How corrections are written:",
        *(f"[bold]{name}:[/] {how.replace('[', chr(92) + '[')}" for name, how in GUIDE),
    )
)
MAX_BYTES = 8_000_000
"""A form of the longest talk takes a tenth of that."""
_Write = Callable[[Path, "Sheet", "Sheet"], None]
"""Writes the folder of a sheet again: where it lies, how it was, how it is now."""
MOST_SHOWN = 20
"""Mistakes shown at once; more come from one cause."""

_Text = Annotated[bool, typer.Option("--text", help="Print the list to correct, and open no editor.")]
_From = Annotated[
    Path | None, typer.Option("--from", metavar="FILE", help="Take in a list that was corrected elsewhere.")
]


def edit(
    sheet: options.SheetFile,
    text: _Text = False,
    source: _From = None,
    vocab: options.MadeWith = None,
    templates: options.Templates = None,
) -> None:
    """Correct a sheet in your text editor.

    Opens the sheet as a list in the editor that VISUAL or EDITOR names, takes in what you typed, and writes all files
    of its folder again. Where something cannot be taken in, the line is named, your text is kept beside the sheet, and
    the same command goes on with it.

    Example: EDITOR=nano critsheet edit critsheet-talk/sheet.json
    """
    if text and source is not None:
        raise InputError("--text prints a list and --from takes one in.", "Give one of them.")
    from critsheet.cli.job import write_again
    from critsheet.form.writing import to_text
    from critsheet.sheet import load

    write = partial(write_again, templates=templates, vocab=tuple(vocab or ()))
    printed = to_text(load(sheet))
    if text:
        sys.stdout.buffer.write(printed.encode())
        sys.stdout.flush()
    elif source is not None:
        _take(sheet, source, write, f"Mend it in {source}, then run the same command again.")
    else:
        _edit(sheet, printed, write)


def _edit(sheet: Path, printed: str, write: _Write) -> None:
    from critsheet.render.folder import typed_beside
    from critsheet.sheet import write_whole

    command, typed = _editor(), typed_beside(sheet)
    if typed.exists():
        say(f"Going on with the corrections in {typed}; to start afresh, move that file away.")
    elif not os.access(sheet.parent, os.W_OK | os.X_OK):
        raise OutputError(f"{sheet.parent} may not be written to.", "Correct a copy of it that is yours.")
    else:
        write_whole(typed, printed)
    way_on = f"Your text is kept: critsheet edit {shlex.quote(str(sheet))} goes on with it."
    try:
        _run(command, typed, way_on)
        _take(sheet, typed, write, way_on)
    except BaseException:
        if typed.is_file() and typed.read_bytes() == printed.encode():
            typed.unlink()  # nobody typed in it
        raise
    typed.unlink(missing_ok=True)


def _editor() -> list[str]:
    for name in ("VISUAL", "EDITOR"):
        value = os.environ.get(name, "").strip()
        if value:
            try:
                return shlex.split(value, posix=os.name == "posix")
            except ValueError as error:
                raise InputError(f"{name}={value} cannot be read: {error}.", "Check its quotes.") from error
    raise InputError(
        "No editor is set.",
        "Set one, as in EDITOR=nano, or print the list with --text and take it in with --from.",
    )


def _run(command: list[str], typed: Path, way_on: str) -> None:
    import subprocess

    with _ctrl_c_for_the_editor():
        try:
            status = subprocess.run([*command, str(typed)], check=False).returncode
        except OSError as error:
            raise InputError(
                f"The editor {command[0]} does not start: {error.strerror or error}.",
                "Set another one, as in EDITOR=nano, or use --text and --from.",
            ) from error
    if status:
        raise InputError(f"The editor {command[0]} ended with status {status}, so nothing was taken in.", way_on)


@contextmanager
def _ctrl_c_for_the_editor() -> Iterator[None]:
    """Ctrl-C reaches every program of the terminal: while the editor runs it means nothing to this one.

    A handler, as an ignored signal would stay ignored in the editor too.
    """
    before = signal.signal(signal.SIGINT, lambda *_: None)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _take(sheet: Path, source: Path, write: _Write, way_on: str) -> None:
    """Take in the form in `source` and write the sheet's folder again."""
    from critsheet.form.reading import FormError, OtherForm
    from critsheet.form.taking import corrected
    from critsheet.sheet import load

    text = _read(source, way_on)
    # Read again: an editor may be open for an hour.
    old = load(sheet)
    try:
        new = corrected(text, old, datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"))
    except FormError as error:
        afresh = f"Your text stays in {source}: move it away to begin a new one."
        _complain(error, source, afresh if isinstance(error, OtherForm) else way_on)
        raise typer.Exit(error.exit_status) from error
    if new is old:
        say("Nothing was changed. An editor with a window of its own must wait until you close it (often: --wait).")
        return
    try:
        write(sheet, old, new)
    except CritsheetError as error:
        error.hint = f"{error.hint} {way_on}".strip()
        raise
    say(f"{_changes(old, new)} The sheet lies in {sheet.parent}.")


def _read(source: Path, way_on: str) -> str:
    try:
        if source.stat().st_size > MAX_BYTES:
            raise InputError(f"{source} is too large to be a list of notes.", way_on)
        content = source.read_bytes()
    except OSError as error:
        raise InputError(f"Cannot read {source}: {error.strerror or error}.", "Check the path.") from error
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise InputError(f"{source}:{line}: this line is not UTF-8 text.", way_on) from error


def _complain(error: "FormError", source: Path, way_on: str) -> None:
    shown = error.problems[:MOST_SHOWN]
    if more := len(error.problems) - len(shown):
        way_on = f"There are {more} more. {way_on}"
    for problem in shown[:-1]:
        complain(f"{source}:{problem.line}: {problem.what}")
    complain(f"{source}:{shown[-1].line}: {shown[-1].what} {way_on}")


def _changes(old: "Sheet", new: "Sheet") -> str:
    """What was corrected, in one sentence."""
    before = {note.id: note for note in old.notes}
    changed = sum(
        note.id in before and note.model_copy(update={"rank": before[note.id].rank}) != before[note.id]
        for note in new.notes
    )
    parts = [f"{changed} changed"] if changed else []
    added = sum(note.id not in before for note in new.notes)
    parts += [f"{added} added"] if added else []
    gone = len(before.keys() - {note.id for note in new.notes})
    parts += [f"{gone} merged or left out"] if gone else []
    return f"Corrected{': ' if parts else ''}{', '.join(parts)}."
