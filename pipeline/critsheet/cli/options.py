"""Reads what people type after an option. Every mistake is an InputError that shows the right form."""

import re
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from critsheet.errors import InputError

MAX_FRAME = 9_999_999
"""Over four days at 24 frames a second: anything above is a slip of the finger."""
MAX_NAMES = 50
MAX_TEXT = 200
"""Longer names or titles are pasted by mistake, and fit on no form."""
MAX_SUBMISSION = 999
LANGUAGE = "en"
DEVICES = ("cpu", "cuda")
SheetFile = Annotated[
    Path, typer.Argument(metavar="SHEET", help="The sheet.json that critsheet make wrote.", show_default=False)
]
"""The sheet that a command works on."""
MadeWith = Annotated[
    list[Path] | None,
    typer.Option(
        "--vocab", metavar="DIR", help="The folder with your school's own words that the sheet was made with."
    ),
]
Templates = Annotated[
    Path | None,
    typer.Option(
        metavar="DIR",
        envvar="CRITSHEET_TEMPLATES",
        help="A folder with your school's own templates, texts and logo for the page.",
        rich_help_panel="The result",
    ),
]
"""The school's look, the same option in every command that writes a page."""
Vocab = Annotated[
    list[Path] | None,
    typer.Option(
        metavar="DIR",
        help="A folder with your school's own words; may be given more than once.",
        rich_help_panel="Listening",
    ),
]
Model = Annotated[
    str | None,
    typer.Option(
        metavar="NAME|DIR",
        help="Speech model; see: critsheet models. The one inside the package if left out.",
        rich_help_panel="Listening",
    ),
]
Device = Annotated[
    str,
    typer.Option(
        metavar="|".join(DEVICES),
        help="cuda uses an NVIDIA graphics card.",
        rich_help_panel="Listening",
    ),
]
SheetLanguage = Annotated[
    str,
    typer.Option(
        metavar="CODE",
        help="Language of the page's own texts: en, de. What was said stays as it was said.",
        rich_help_panel="The result",
    ),
]
"""The school's words, the recogniser and the page's language: the same in every command that makes sheets."""
ArchivePlace = Annotated[
    str | None,
    typer.Option(
        "--archive",
        metavar="FILE|URL",
        envvar="CRITSHEET_ARCHIVE",
        help="The archive: a file, or postgresql://USER@HOST/DATABASE; your own one if left out.",
        show_default=False,
    ),
]
"""Which archive a command works on."""
OfStudent = Annotated[str | None, typer.Option("--student", metavar="NAME", help="Only this student's.")]
OfMentor = Annotated[str | None, typer.Option("--mentor", metavar="NAME", help="Only what this mentor said.")]
OfClass = Annotated[str | None, typer.Option("--class", metavar="NAME", help="Only this class.")]
Since = Annotated[str | None, typer.Option("--since", metavar="DATE", help="Only from this day on: 2026-01-31.")]
Before = Annotated[str | None, typer.Option("--before", metavar="DATE", help="Only before this day: 2026-06-30.")]
_RANGE = re.compile(r"(\d+)\s*[-–]\s*(\d+)")
_TIME = re.compile(r"(?:(\d{1,3}):)?(\d{1,5}(?:\.\d{1,6})?)")


def rate(text: str | None) -> str | None:
    """Frames a second as exact text: "24", "24000/1001" (also for 23.976); None where nothing was typed."""
    if text is None:
        return None
    from critsheet.frames.timebase import parse_rate

    return str(parse_rate(text))


def frame_range(text: str | None, *, first_will_do: bool = False) -> tuple[int | None, int | None]:
    """First and last frame of the shot, both None where nothing was typed.

    With `first_will_do` the first alone may be typed; the last is None then.
    """
    if text is None:
        return None, None
    match = _RANGE.fullmatch(text.strip())
    if match is None and first_will_do and text.strip().isdecimal() and int(text) <= MAX_FRAME:
        return int(text), None
    if match is None:
        raise InputError(f"--frames {text!r} is not a range.", "Give first and last frame, as in --frames 101-188.")
    first, last = int(match[1]), int(match[2])
    if first > last:
        raise InputError(f"--frames {text} runs backwards.", f"Turn it round: --frames {last}-{first}.")
    if last > MAX_FRAME:
        raise InputError(f"--frames {text} goes beyond {MAX_FRAME}.", "Check the number of digits.")
    return first, last


def seconds(option: str, text: str | None) -> float | None:
    """A time in the recording, typed as seconds (75.5) or as minutes and seconds (1:15.5)."""
    if text is None:
        return None
    match = _TIME.fullmatch(text.strip())
    if match is None or (match[1] and float(match[2]) >= 60):
        raise InputError(f"{option} {text!r} is not a time.", f"Give seconds, as in {option} 75.5 or {option} 1:15.5.")
    return 60 * int(match[1] or 0) + float(match[2])


def names(text: str | None) -> tuple[str, ...]:
    """The comma-separated names, each once, in the order typed."""
    found = tuple(dict.fromkeys(filter(None, (part.strip() for part in (text or "").split(",")))))
    if wrong := [name for name in found if not any(map(str.isalpha, name)) or len(name) > MAX_TEXT]:
        raise InputError(
            f"--names: {wrong[0][:MAX_TEXT]!r} is not a name.", 'Part them by commas: --names "Osk, Tibby".'
        )
    if len(found) > MAX_NAMES:
        raise InputError(f"--names gives {len(found)} names.", f"Give the {MAX_NAMES} that are said most.")
    return found


def text(option: str, value: str | None) -> str | None:
    """A title or a person's name on one line, None where nothing was typed."""
    from critsheet.render.words import plain

    line = plain(value or "")
    if len(line) > MAX_TEXT:
        raise InputError(f"{option} is {len(line)} characters long.", f"Use at most {MAX_TEXT}.")
    return line or None


def submission(text: str | None) -> int | None:
    """Which hand-in of the shot this is, counted from 1."""
    if text is None:
        return None
    if not (text.isascii() and text.isdigit()) or not 1 <= int(text[:MAX_TEXT]) <= MAX_SUBMISSION:
        raise InputError(f"--submission {text!r} is not a number that counts.", "The first submission is 1.")
    return int(text)


def device(name: str) -> str:
    """Where speech recognition runs."""
    if name not in DEVICES:
        raise InputError(f"--device {name!r} is unknown.", f"Choose {' or '.join(DEVICES)}.")
    return name


def language(code: str) -> str:
    """The language spoken."""
    if code.lower() != LANGUAGE:
        raise InputError(f"--language {code!r} is not supported.", f"Critsheet understands English: {LANGUAGE}.")
    return LANGUAGE


def day(option: str, text: str | None) -> str | None:
    """A day as the archive compares it, 2026-01-31; None where nothing was typed."""
    if text is None:
        return None
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise InputError(
            f"{option} {text[:MAX_TEXT]!r} is not a date.", f"Give year, month and day: {option} 2026-01-31."
        ) from None


def choice(option: str, text: str | None, known: Sequence[str]) -> str | None:
    """One of the words that are known, typed in any case; None where nothing was typed."""
    if text is None or text.lower() in known:
        return text and text.lower()
    raise InputError(f"{option} {text[:MAX_TEXT]!r} is unknown.", f"Choose one of: {', '.join(known)}.")
