"""The form read back: what was typed, line by line, before any of it is taken in."""

import re
from dataclasses import dataclass, field

from critsheet.errors import InputError
from critsheet.form.guide import LEFT_OUT, TITLES
from critsheet.form.writing import first_line
from critsheet.render.words import listed, plain
from critsheet.sheet import Sheet

FIELDS = ("category", "who", "body", "frames", "place", "scope", "asked before", "not sure")
OUT = "left out"
"""The key of the group of notes that are left out, beside those of `critsheet.render.words`."""

_KEYS = {title.lower(): key for key, title in TITLES.items()} | {LEFT_OUT.lower(): OUT}
_BULLET = re.compile(r"(\s*)[-*+](?:\s+(.*))?")
_BOX = re.compile(r"\[([ xX]?)\](?:\s+(.*))?")
_SAID = re.compile(r"said\s+((?:\d{1,2}:)?\d{1,3}:\d{2})(?:\s*:\s*(.*)|\s*)", re.IGNORECASE)
_FIELD = re.compile(r"([A-Za-z][A-Za-z ]{0,20}?)\s*:\s*(.*)")
_JOINED = re.compile(r"\s*[+&,]\s*")
_NEW_ID = r"n\d{1,9}"
_SHOWN = 60
"""Characters of a line that an error shows."""


@dataclass(frozen=True)
class Problem:
    """A mistake in the form: its line, counted from 1, and what to do about it."""

    line: int
    what: str


class FormError(InputError):
    """A form that cannot be taken in; `problems` in order of line."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = sorted(problems, key=lambda problem: problem.line)
        super().__init__(f"Line {self.problems[0].line}: {self.problems[0].what}")


class OtherForm(FormError):
    """A form of another sheet, or of the sheet as it was before: no change in it can make it fit."""


@dataclass(frozen=True)
class Typed:
    """A value under a note and the line it stands on."""

    line: int
    text: str


@dataclass(frozen=True)
class Said:
    """A line of what was said: the whole seconds of its time, and the words typed after it."""

    line: int
    second: int
    text: str


@dataclass
class Block:
    """A note as typed. `ids` is empty for one that is new, `source` is set for one split off another."""

    line: int
    group: str
    action: str
    ticked: bool | None = None
    ids: tuple[str, ...] = ()
    source: str | None = None
    labels: dict[str, list[Typed]] = field(default_factory=dict)
    said: list[Said] = field(default_factory=list)
    last_line: int = 0


def read(text: str, sheet: Sheet) -> list[Block]:
    """The notes as typed, in their order. Raises FormError where a line cannot be understood."""
    reader = _Reader(sheet)
    # Not splitlines(): a form feed or the like in a line is no end of it.
    for line, words in _items(text, sheet):
        reader.take(line, words)
    if reader.problems:
        raise FormError(reader.problems)
    return reader.blocks


def _items(text: str, sheet: Sheet) -> list[tuple[int, str]]:
    """The lines that say something, each with its number; a wrapped line is joined to the one it goes on with."""
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    start = _after_head(lines, sheet)
    items: list[tuple[int, str]] = []
    open_item = False
    for number, line in enumerate(lines[start:], start=start + 1):
        if not line.strip():
            open_item = False
        elif line.startswith("#") or _BULLET.fullmatch(line) or not open_item:
            items.append((number, line.rstrip()))
            open_item = not line.startswith("#")
        else:
            items[-1] = (items[-1][0], f"{items[-1][1]} {line.strip()}")
    return items


def _after_head(lines: list[str], sheet: Sheet) -> int:
    """How many lines the head takes, the instructions with it."""
    place = next((number for number, line in enumerate(lines) if line.strip()), None)
    if place is None:
        raise FormError([Problem(1, "the form is empty; nothing is taken from it.")])
    mine, typed = first_line(sheet), lines[place].strip()
    if typed != mine:
        if not typed.startswith("<!-- critsheet,"):
            what = "the line “<!-- critsheet, sheet ... -->” is missing: put it back as the first one."
            raise FormError([Problem(place + 1, what)])
        if typed.split(", state")[0] != mine.split(", state")[0]:
            raise OtherForm([Problem(place + 1, "this form is of another sheet.")])
        what = "the sheet was changed after this form was made: copy your corrections into a new one."
        raise OtherForm([Problem(place + 1, what)])
    place += 1
    while place < len(lines) and not lines[place].strip():
        place += 1
    if place < len(lines) and lines[place].lstrip().startswith("<!--"):
        end = next((number for number in range(place, len(lines)) if "-->" in lines[number]), None)
        if end is None:
            raise FormError([Problem(place + 1, "the comment that starts here has no end: put “-->” after it.")])
        return end + 1
    return place


class _Reader:
    def __init__(self, sheet: Sheet) -> None:
        known = "|".join(re.escape(note.id) for note in (*sheet.notes, *sheet.left_out))
        one = rf"(?:{known}|{_NEW_ID})" if known else _NEW_ID
        self.named = re.compile(rf"(from\s+)?({one}(?:{_JOINED.pattern}{one})*)\s*:(?:\s+(.*))?", re.IGNORECASE)
        self.ids = {note.id.lower(): note.id for note in (*sheet.notes, *sheet.left_out)}
        self.group: str | None = None
        self.blocks: list[Block] = []
        self.problems: list[Problem] = []

    def take(self, line: int, words: str) -> None:
        """One line, or several that belong together."""
        bullet = _BULLET.fullmatch(words)
        if words.startswith("#"):
            self._heading(line, words.lstrip("#").strip())
        elif bullet is None:
            self._wrong(line, f"“{_short(words)}” is neither a note (“- [ ] ...”) nor a heading (“## Then”).")
        elif len(bullet[1].expandtabs(4)) < 2:
            self._note(line, bullet[2] or "")
        elif not self.blocks or self.blocks[-1].group != self.group:
            self._wrong(line, "this line belongs under a note, and there is none above it.")
        else:
            self.blocks[-1].last_line = line
            self._under(line, plain(bullet[2] or ""), self.blocks[-1])

    def _wrong(self, line: int, what: str) -> None:
        self.problems.append(Problem(line, what))

    def _heading(self, line: int, title: str) -> None:
        key = _KEYS.get(plain(title).lower())
        if key is None:
            names = listed(f"“{name}”" for name in (*TITLES.values(), LEFT_OUT))
            self._wrong(line, f"there is no heading “{_short(title)}”; the headings are {names}.")
        else:
            self.group = key

    def _note(self, line: int, words: str) -> None:
        if self.group is None:
            self._wrong(line, "a note stands under a heading: put “## Then” above it, or another one.")
            self.group = next(iter(TITLES))
        box = _BOX.fullmatch(words)
        ticked = None if box is None else box[1] in {"x", "X"}
        rest = words if box is None else box[2] or ""
        named = self.named.fullmatch(rest)
        block = Block(line, self.group, plain(named[3] or "" if named else rest), ticked, last_line=line)
        if named:
            typed = _JOINED.split(named[2])
            ids = tuple(one if one in self.ids.values() else self.ids.get(one.lower(), one) for one in typed)
            if unknown := [one for one in ids if one not in self.ids.values()]:
                self._wrong(line, f"there is no note {unknown[0]}; a new note has no number.")
            elif named[1] and len(ids) > 1:
                self._wrong(line, "a note is split off one other: “from n1: ...”.")
            elif named[1]:
                block.source = ids[0]
            else:
                block.ids = ids
        self.blocks.append(block)

    def _under(self, line: int, words: str, block: Block) -> None:
        if spoken := _SAID.fullmatch(words):
            second = 0
            for part in spoken[1].split(":"):
                second = 60 * second + int(part)
            block.said.append(Said(line, second, spoken[2] or ""))
            return
        found = _FIELD.fullmatch(words)
        name = " ".join(found[1].lower().split()) if found else ""
        if found is None or name not in FIELDS:
            names = listed(f"“{each}:”" for each in FIELDS)
            self._wrong(line, f"“{_short(words)}” is no line of a note; they begin with {names} or “said 1:23:”.")
        elif name in block.labels and name != "not sure":
            self._wrong(line, f"“{name}” stands twice, also in line {block.labels[name][0].line}.")
        else:
            block.labels.setdefault(name, []).append(Typed(line, found[2]))


def _short(words: str) -> str:
    shown = plain(words)
    return shown if len(shown) <= _SHOWN else f"{shown[:_SHOWN]}..."
