"""The checklist as plain text to paste into a mail."""

import io

from critsheet.render import words
from critsheet.sheet import Sheet

COLUMNS = 72
"""Short enough that a reply may quote the text a few times within 78 columns (RFC 5322, section 2.1.1)."""


def to_mail(sheet: Sheet) -> str:
    """The checklist as the terminal shows it, no wider than 72 columns, and what to mind about it."""
    from rich.console import Console
    from rich.text import Text

    from critsheet.render.terminal import print_checklist

    out = io.StringIO()
    console = Console(file=out, width=COLUMNS, color_system=None, force_terminal=False, legacy_windows=False)
    print_checklist(sheet, console)
    for caution in words.cautions():
        console.print()
        console.print(*Text(caution).wrap(console, COLUMNS), sep="\n", soft_wrap=True)
    return "".join(f"{line.rstrip()}\n" for line in out.getvalue().splitlines())
