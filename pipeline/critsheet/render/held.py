"""What is held about somebody, and what became of it when they were forgotten: for the terminal, and as JSON."""

import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from critsheet.archive.about import HELD, NOT_HELD, About, Holding
from critsheet.archive.mentions import Looked
from critsheet.render.words import listed, plain

if TYPE_CHECKING:
    from rich.console import Console

    from critsheet.archive.forgetting import Doomed, Forgotten

_STANDING = {"open": "open", "done": "ticked", "solved": "solved", "again": "asked for again", "praise": "praise"}
_CLEAN_FILE = "Nothing of what was deleted is left in the archive: its file was searched to the last byte."
_CLEAN_SERVER = (
    "Nothing of what was deleted is left in the archive's tables. The server's own log, replicas and backups may still "
    "hold it for a while: ask its keeper."
)
_MOST_ROWS, _MOST_NAMES = 40, 8
"""Of what is gone more are counted: nobody reads them in a terminal."""
_AGAIN = {1: "once", 2: "twice"}


def print_about(found: About, console: "Console") -> None:
    """Print an inventory."""
    _line(console, found.name, style="bold")
    if found.as_student or found.as_mentor:
        _line(console, f"Held: {HELD}. Not held: {NOT_HELD}.")
    for role, holdings in (("student", found.as_student), ("mentor", found.as_mentor)):
        if holdings:
            _line(console, f"\nAs a {role}, {_count(len(holdings), 'sheet')}:")
            _rows(console, [_holding(each, role) for each in holdings])
    print_named(found.named, console)
    if found.written:
        _line(console, "\nFiles written from the archive:")
        _rows(console, [(each.made[:10], f"{each.path} ({each.fate()})") for each in found.written])
    if not (found.as_student or found.as_mentor or found.named.mentions or found.written):
        _line(console, "The archive holds nothing about anybody of this name.")
    _not_looked_for(console, found.named, found.not_alone)


def about_json(found: About) -> str:
    """An inventory as JSON, ending in a newline."""
    document = {
        "name": found.name,
        "as_student": [_holding_json(each) for each in found.as_student],
        "as_mentor": [_holding_json(each) for each in found.as_mentor],
        "named_in": [vars(each) for each in found.named.mentions],
        "damaged": found.named.damaged,
        "in_paths": found.named.files,
        "not_alone": found.not_alone,
        "files": [
            {"path": str(each.path), "sha256": each.sha256, "made": each.made, "fate": each.fate()}
            for each in found.written
        ],
        "held": HELD,
        "not_held": NOT_HELD,
    }
    return json.dumps(document, ensure_ascii=False, indent=1) + "\n"


def in_short(doomed: "Doomed") -> str:
    """What there is to forget, in one phrase."""
    parts = [f"{_count(len(doomed.sheets), 'sheet')} with {_count(doomed.notes, 'note')}"] if doomed.sheets else []
    parts += [_count(len(doomed.written), "file") + " written from the archive"] if doomed.written else []
    return listed(parts)


def print_forgotten(found: "Forgotten", console: "Console") -> None:
    """Print what went, and what is left and where."""
    went = found.went
    if went.sheets:
        forms = f", {_count(went.forms, 'form')} of them in all" if went.forms > len(went.sheets) else ""
        _line(console, f"Taken out: {_count(len(went.sheets), 'sheet')}{forms}, {_count(went.notes, 'note')}.")
        _rows(console, [(f"No. {number}", title) for number, title in went.sheets], _MOST_ROWS)
    if went.people:
        _line(console, f"No longer known: {_some(went.people)}.")
    if gone := [each.path for each in went.written if each.path not in found.files]:
        _line(console, "Files deleted:")
        _rows(console, [(str(path),) for path in gone], _MOST_ROWS)
    if not found.remains:
        _line(console, _CLEAN_FILE if found.by_bytes else _CLEAN_SERVER)
    _files_left(found, console)
    for name, numbers in went.mentors.items():
        _line(console, f"\n{name} stays as the mentor of {_count(len(numbers), 'sheet')}, which this leaves alone:")
        _line(console, f"  No. {listed(map(str, numbers))}. Take them out with: critsheet archive remove NUMBER")
    print_named(found.looked, console)
    _not_looked_for(console, found.looked, found.not_alone)
    if went.places:
        _line(console, "\nOutside the archive the sheets still lie here. Delete by hand what should go:")
        _rows(console, [(str(place),) for place in went.places])


def _files_left(found: "Forgotten", console: "Console") -> None:
    changed = [path for path, fate in found.files.items() if fate == "changed since"]
    elsewhere = [path for path, fate in found.files.items() if fate == "not here"]
    if changed:
        _line(console, "\nChanged since they were written from the archive, so delete them yourself:")
        _rows(console, [(str(path),) for path in changed])
    if elsewhere:
        _line(console, "\nWritten from the archive, but not here any more: moved, or on another computer?")
        _rows(console, [(str(path),) for path in elsewhere])


def print_named(looked: Looked, console: "Console") -> None:
    """Print where somebody is named by others."""
    if looked.mentions:
        _line(console, "\nNamed in these sheets of others:")
        _rows(
            console,
            [
                (
                    f"No. {each.number}",
                    each.title + (f" ({each.student})" if each.student else ""),
                    f"{listed(f'“{word}”' for word in each.said)} {_AGAIN.get(each.times, f'{each.times} times')}"
                    + ("" if each.now else ", in an earlier form"),
                )
                for each in looked.mentions
            ],
        )
        _line(console, "See one with: critsheet archive show NUMBER")
        _line(console, "Take it out with: critsheet archive remove NUMBER")
    if looked.files:
        _line(console, "\nNamed in the paths of files about others:")
        _rows(console, [(path,) for path in looked.files])
    if looked.damaged:
        numbers = listed(map(str, looked.damaged))
        _line(console, f"\nDamaged, and not looked through: No. {numbers}. See: critsheet archive check")


def _not_looked_for(console: "Console", looked: Looked, not_alone: Mapping[str, Sequence[str]]) -> None:
    for part, bearers in not_alone.items():
        _line(console, f"\n“{part}” was not looked for by itself: {_some(bearers)} bear that name too.")
    if words := [word for word in looked.everyday if word not in not_alone]:
        quoted = listed(f"“{word}”" for word in words[:_MOST_NAMES])
        _line(console, f"\nEveryday words too, so found only where they are written as names: {quoted}.")


def _holding(each: Holding, role: str) -> tuple[str, ...]:
    sheet = each.sheet
    other = sheet.mentor if role == "student" else sheet.student
    shot = f"{sheet.title}, {sheet.submission}" if sheet.submission else sheet.title
    stand = ", ".join(f"{each.notes[key]} {word}" for key, word in _STANDING.items() if key in each.notes)
    about = (other or "", sheet.class_ or "", f"{_count(sheet.version, 'form')}, filed {each.filed[:10]}", stand)
    return f"No. {sheet.number}", sheet.made[:10], shot, "; ".join(filter(None, about))


def _holding_json(each: Holding) -> dict[str, Any]:
    sheet = vars(each.sheet)
    return {**{key.rstrip("_"): value for key, value in sheet.items()}, "filed": each.filed, "notes": each.notes}


def _count(number: int, what: str) -> str:
    return f"{number:,} {what}" if number == 1 else f"{number:,} {what}s"


def _line(console: "Console", line: str, style: str = "") -> None:
    from rich.text import Text

    console.print(Text("\n" * line.startswith("\n") + plain(line), style=style))


def _some(names: Sequence[str]) -> str:
    return listed(names) if len(names) <= _MOST_NAMES else f"{len(names):,} people"


def _rows(console: "Console", rows: Sequence[tuple[str, ...]], most: int | None = None) -> None:
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2, 0, 0))
    for row in rows[:most]:
        table.add_row("", *(Text(plain(cell), overflow="fold") for cell in row))
    console.print(table)
    if most is not None and len(rows) > most:
        _line(console, f"  and {len(rows) - most:,} more")
