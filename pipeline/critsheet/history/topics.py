"""What a note is about, gathered so that two notes of different talks can be compared."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import cast

from critsheet.earlier import Earlier
from critsheet.labels import BodyPart, Category, FrameRange
from critsheet.language import Remark, terms
from critsheet.language.terms import Finding
from critsheet.notes.evidence import COMMON_STEMS
from critsheet.sheet import Note
from critsheet.vocabulary import Vocabulary
from critsheet.vocabulary.model import STRENGTHS
from critsheet.vocabulary.tokens import tokenise

_RETURNING = "still again last time week already said fix keep good nice better love note frame"
_SAYING_NOTHING = COMMON_STEMS | frozenset(token.stem for token in tokenise(_RETURNING.split()))
"""Stems that tell nothing anywhere, and those that any talk about an earlier submission is full of."""


@dataclass(frozen=True)
class Topic:
    """What a note is about.

    `stems` are its telling words, `rules` the trade phrases that judge and speak for its categories, so that
    "skates" and "slides" are one. `labels` are its categories, the primary one first, and `trade` all that any phrase
    speaks for. `loose`: it concerns the whole shot or a habit, so that its frames are only examples. `pressing`: what
    the mentor stressed most.
    """

    stems: frozenset[str]
    rules: frozenset[str]
    labels: tuple[Category, ...]
    trade: frozenset[str]
    parts: frozenset[BodyPart] = frozenset()
    subject: str | None = None
    frames: tuple[FrameRange, ...] = ()
    loose: bool = False
    pressing: bool = False


@dataclass(frozen=True)
class TopicReader:
    """Reads notes with a vocabulary; `names` are the shot's characters and props."""

    pack: Vocabulary
    names: tuple[str, ...]

    def of_note(self, note: Note) -> Topic:
        """What a note of a sheet is about: by its labels, the mentor's words and the action."""
        said = [note.action, *(moment.quote for moment in note.moments)]
        topic = self._read(said, (note.category, *note.also))
        return replace(
            topic,
            parts=frozenset(note.body),
            subject=_folded(note.subject),
            frames=note.frames,
            loose=note.scope != "moment",
            pressing=note.strength == "must",
        )

    def of_earlier(self, note: Earlier) -> Topic:
        """The same of a note that an earlier sheet already carried on: the talk it came from is not at hand."""
        topic = self._read([note.action], (note.category,))
        return replace(topic, parts=frozenset(note.body), subject=_folded(note.subject), frames=note.frames)

    def of_remarks(self, remarks: Sequence[Remark]) -> Topic:
        """What some clauses are about, that nobody has labelled: their categories are those of their trade phrases."""
        judged = [found for remark in remarks for found in remark.findings if found.category]
        named = [subject.name for remark in remarks for subject in remark.subjects if subject.by_name]
        said = [found for remark in remarks for found in remark.frames]
        labels = dict.fromkeys(cast(Category, found.category) for found in judged)
        return Topic(
            stems=frozenset(stem for remark in remarks for stem in self._telling(remark.words)),
            rules=frozenset(found.rule for found in judged if found.function in STRENGTHS),
            labels=tuple(labels),
            trade=frozenset(labels),
            parts=frozenset(cast(BodyPart, found.part) for remark in remarks for found in remark.body),
            subject=_folded(named[0]) if named else None,
            frames=tuple(FrameRange(first=found.first, last=found.last) for found in said),
        )

    def _read(self, texts: Sequence[str], labels: tuple[Category, ...]) -> Topic:
        """What texts tell of a note with these labels."""
        stems: set[str] = set()
        judged: list[Finding] = []
        for text in texts:
            words = text.split()
            stems |= self._telling(words)
            judged += [found for found in terms.find(words, self.pack, self.names) if found.category]
        return Topic(
            stems=frozenset(stems),
            rules=frozenset(found.rule for found in judged if found.category in labels and found.function in STRENGTHS),
            labels=labels,
            trade=frozenset(found.category for found in judged if found.category),
        )

    def _telling(self, words: Sequence[str]) -> set[str]:
        """The stems that tell something which no label does: names and body parts are compared by themselves."""
        stems = {token.stem for token in tokenise(words) if token.form.isalpha()}
        parts = [found.text for found in terms.find_body(words, self.pack)]
        labelled = tokenise([word for text in (*parts, *self.names) for word in text.split()])
        return stems - _SAYING_NOTHING - {token.stem for token in labelled}


def _folded(name: str | None) -> str | None:
    return name.casefold().removeprefix("the ") if name else None
