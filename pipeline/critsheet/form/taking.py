"""Takes a form that was read into the sheet: what differs from the form as it was printed is a correction.

A line that nobody changed changes nothing, however much of the sheet it leaves out.
"""

from collections.abc import Callable
from typing import Any

from critsheet import corrections
from critsheet.errors import InputError
from critsheet.form.moments import told
from critsheet.form.reading import OUT, Block, FormError, Problem, read
from critsheet.form.values import labels_of, listed, spans
from critsheet.form.writing import labels
from critsheet.labels import CHOICES
from critsheet.render.words import KEEP, PLAN, plain
from critsheet.sheet import Done, Kind, Note, Sheet


def corrected(text: str, sheet: Sheet, now: str) -> Sheet:
    """The sheet as the form `text` says; the sheet itself where nothing was changed.

    `now` is the time of the correction, as ISO 8601. Raises FormError, and then nothing is taken in.
    """
    blocks = read(text, sheet)
    taking = _Taking(sheet, blocks, now)
    taking.check_ids()
    for step in (taking.merge, taking.split, taking.add, taking.hold, taking.change, taking.arrange):
        if not taking.problems:
            step()
    if taking.problems:
        raise FormError(taking.problems)
    return sheet if taking.sheet == sheet else taking.sheet.model_copy(update={"corrected": now})


class _Taking:
    def __init__(self, sheet: Sheet, blocks: list[Block], now: str) -> None:
        self.old = sheet
        self.sheet = sheet
        self.blocks = blocks
        self.now = now
        self.problems: list[Problem] = []
        self.id_of: dict[int, str] = {block.line: block.ids[0] for block in blocks if block.ids}
        """The note that each block is, by the block's line."""

    def _wrong(self, line: int, what: str) -> None:
        self.problems.append(Problem(line, what))

    def _try(self, line: int, correct: Callable[..., Sheet], *how: Any, **labels: Any) -> None:
        try:
            self.sheet = correct(self.sheet, *how, **labels)
        except InputError as error:
            self._wrong(line, error.what)

    def check_ids(self) -> None:
        """Every note of the sheet must stand in the form once: a note that is not there was lost, not left out."""
        lines: dict[str, int] = {}
        for block in self.blocks:
            for note_id in block.ids:
                if note_id in lines:
                    self._wrong(block.line, f"{note_id} stands twice, also in line {lines[note_id]}.")
                lines.setdefault(note_id, block.line)
            if not block.ids and block.group == OUT:
                self._wrong(block.line, "a note that was never on the sheet cannot be left out: delete these lines.")
        before = None
        for note in self._printed():
            if note.id in lines:
                before = next(place for place, block in enumerate(self.blocks) if block.line == lines[note.id])
            else:
                self._missing(note.id, before)

    def _missing(self, note_id: str, before: int | None) -> None:
        """Tell of a note that is gone, at the line where it stood after block `before`."""
        after = self.blocks[0 if before is None else before + 1 :][:1]
        if after and not after[0].ids and not after[0].source:
            self._wrong(after[0].line, f"{note_id} is missing: if this is it, put “{note_id}:” before its words.")
        else:
            line = 1 if before is None else self.blocks[before].last_line
            self._wrong(line, f"{note_id} is missing below: put “{note_id}:” back, or move the note under “Left out”.")

    def _printed(self) -> list[Note]:
        """The notes in the order in which the form was printed."""
        ids = [note_id for ids in corrections.order(self.old).values() for note_id in ids]
        return [*(corrections.note_of(self.old, note_id) for note_id in ids), *self.old.left_out]

    def merge(self) -> None:
        """Notes named in one line become one."""
        for block in self.blocks:
            if len(block.ids) > 1:
                self._try(block.line, corrections.merge, block.ids[0], block.ids[1:])

    def split(self) -> None:
        """Notes made of a part of another one."""
        for block in self.blocks:
            if block.source:
                source = next((each.ids[0] for each in self.blocks if block.source in each.ids), block.source)
                self._new(block, corrections.split, source, block.action)

    def add(self) -> None:
        """Notes that the mentor wrote."""
        for block in self.blocks:
            if not block.ids and not block.source:
                if "category" not in block.labels and block.group != PLAN:
                    names = ", ".join(CHOICES["category"])
                    self._wrong(block.line, f"a new note needs a line “- category:” under it, with one of {names}.")
                    continue
                kind: Kind = "keep" if block.group == KEEP else "plan" if block.group == PLAN else "fix"
                category = listed(block.labels.get("category", []))
                self._new(block, corrections.add, block.action, kind, category[0] if category else "workflow")

    def _new(self, block: Block, make: Callable[..., tuple[Sheet, str]], *how: Any) -> None:
        try:
            self.sheet, self.id_of[block.line] = make(self.sheet, *how)
        except InputError as error:
            self._wrong(block.line, error.what)

    def hold(self) -> None:
        """What was said goes with the notes that name it."""
        try:
            held = told(self.blocks, self.id_of, self.old, self.sheet)
        except FormError as error:
            self.problems += error.problems
        else:
            self.sheet = corrections.hold(self.sheet, held)

    def change(self) -> None:
        """Wording, labels, frames and ticks."""
        for block in self.blocks:
            note_id = self.id_of[block.line]
            if block.ids and block.action != plain(corrections.note_of(self.old, note_id).action):
                self._try(block.line, corrections.reword, note_id, block.action)
            self._relabel(block, note_id)
            self._tick(block, note_id)

    def _relabel(self, block: Block, note_id: str) -> None:
        printed: dict[str, list[str]] = {}
        if was := block.ids[:1] or ((block.source,) if block.source else ()):
            for name, value in labels(corrections.note_of(self.old, was[0])):
                printed.setdefault(name, []).append(value)
        for name in dict.fromkeys((*printed, *block.labels)):
            typed = block.labels.get(name, [])
            if [one.text for one in typed] == printed.get(name, []) or (block.source and not typed):
                continue
            line = typed[0].line if typed else block.line
            try:
                values = spans(typed) if name == "frames" else labels_of(name, typed)
            except InputError as error:
                self._wrong(line, error.what)
                continue
            if isinstance(values, dict):
                self._try(line, corrections.relabel, note_id, **values)
            else:
                self._try(line, corrections.set_frames, note_id, values)

    def _tick(self, block: Block, note_id: str) -> None:
        note = corrections.note_of(self.old, block.ids[0]) if block.ids else corrections.note_of(self.sheet, note_id)
        if block.ticked is not None and block.ticked != bool(note.done):
            self._try(block.line, corrections.tick, note_id, Done(at=self.now) if block.ticked else None)

    def arrange(self) -> None:
        """The order of the notes and the headings they stand under."""
        groups: dict[str, list[str]] = {}
        for block in self.blocks:
            note_id = self.id_of[block.line]
            moved = corrections.leave_out if block.group == OUT else corrections.bring_back
            self.sheet = moved(self.sheet, note_id)
            groups.setdefault(block.group, []).append(note_id)
        left_out = {note_id: place for place, note_id in enumerate(groups.pop(OUT, []))}
        kept = sorted(self.sheet.left_out, key=lambda note: left_out.get(note.id, len(left_out)))
        self.sheet = self.sheet.model_copy(update={"left_out": tuple(kept)})
        self._try(self._line_of_plan(groups), corrections.arrange, groups)

    def _line_of_plan(self, groups: dict[str, list[str]]) -> int:
        """The line of a plan that stands too low under "Do first", for the error that tells of it."""
        low = groups.get("first", [])[corrections.LEADING :]
        plans = [note_id for note_id in low if corrections.note_of(self.sheet, note_id).kind == "plan"]
        return next((line for line, note_id in self.id_of.items() if note_id in plans), 1)
