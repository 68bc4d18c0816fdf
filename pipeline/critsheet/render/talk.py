"""The talk as sentences, each with the notes that it went into."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from critsheet.render.drawings import Time
from critsheet.render.page_context import Paragraph, Pointer, Run, Sentence
from critsheet.render.words import plain
from critsheet.sheet import Note, Sheet, Word

PAUSE_S = 2.0
"""A silence this long starts a new paragraph, as on paper."""
PARAGRAPH_S = 45.0
"""After this long the next sentence starts a new paragraph, so that every stretch has a time to jump to."""
_SENTENCE_END = (".", "?", "!", "…")

Notes = tuple[str, ...]


@dataclass(frozen=True)
class Piece:
    """Words of one sentence that belong to the same notes, by their ids."""

    id: str
    words: tuple[Word, ...]
    notes: Notes

    @property
    def start(self) -> float:
        """When it begins, in seconds."""
        return self.words[0].start


def pieces(sheet: Sheet) -> list[list[Piece]]:
    """The talk in paragraphs of pieces, cut where a sentence ends and where the notes change that it belongs to."""
    paragraphs: list[list[list[tuple[Word, Notes]]]] = []
    last: tuple[Word, Notes] | None = None
    for word in sheet.transcript.words:
        here = (word, _notes_at(sheet.notes, (word.start + word.end) / 2))
        if last is None or _turns(paragraphs[-1][0][0][0], last[0], word):
            paragraphs.append([[here]])
        elif last[0].text.endswith(_SENTENCE_END) or last[1] != here[1]:
            paragraphs[-1].append([here])
        else:
            paragraphs[-1][-1].append(here)
        last = here
    numbers = iter(range(1, len(sheet.transcript.words) + 1))
    return [
        [Piece(f"said-{next(numbers)}", tuple(word for word, _ in piece), piece[0][1]) for piece in paragraph]
        for paragraph in paragraphs
    ]


def sentence_at(paragraphs: Sequence[Sequence[Piece]], seconds: float) -> str:
    """The id of the piece that is being said at `seconds`, "" before the first."""
    begun = [piece.id for paragraph in paragraphs for piece in paragraph if piece.start <= seconds + 0.05]
    return begun[-1] if begun else ""


def paragraph(said: Sequence[Piece], pointers: Mapping[str, Pointer], time: Callable[[float], Time]) -> Paragraph:
    """A paragraph as the page shows it."""
    sentences = (
        Sentence(piece.id, tuple(_runs(piece.words)), tuple(sorted((pointers[id] for id in piece.notes), key=_number)))
        for piece in said
    )
    return Paragraph(time(said[0].start), tuple(sentences))


def _number(pointer: Pointer) -> int:
    return pointer.number


def _notes_at(notes: Sequence[Note], seconds: float) -> Notes:
    return tuple(note.id for note in notes if any(one.start <= seconds <= one.end for one in note.moments))


def _turns(first: Word, last: Word, word: Word) -> bool:
    paused = word.start - last.end > PAUSE_S
    long = word.start - first.start > PARAGRAPH_S
    return paused or (long and last.text.endswith(_SENTENCE_END))


def _runs(words: Sequence[Word]) -> list[Run]:
    runs: list[Run] = []
    for word in words:
        heard = plain(word.raw or "")
        if runs and not heard and not runs[-1].heard:
            runs[-1] = Run(f"{runs[-1].text} {plain(word.text)}", "")
        else:
            runs.append(Run(plain(word.text), heard))
    return runs
