"""The language stage as registered spaCy components, each saying what it needs and what it gives.

The Doc carries the spoken tokens and the shot's context; every component reads what earlier ones left
on it and adds its own. `read` runs them all.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import spacy
from spacy.language import Language
from spacy.tokens import Doc

from critsheet.language.clauses import clauses
from critsheet.language.remarks import Remark, function_of
from critsheet.language.said_frames import said_frames
from critsheet.language.spoken import LONG_PAUSE_S, SpokenToken, said, spoken_tokens
from critsheet.language.subjects import find_subjects
from critsheet.language.terms import find, find_body
from critsheet.sheet import Shot, Transcript
from critsheet.vocabulary import Vocabulary

UNSURE_WORD = 0.3
"""Recogniser probability below which a word may well be another one."""

Component = Callable[[Doc], Doc]

COMPONENTS = (
    "critsheet_clauses",
    "critsheet_terms",
    "critsheet_body",
    "critsheet_subjects",
    "critsheet_frames",
    "critsheet_remarks",
)


@dataclass(frozen=True)
class Context:
    """What the words alone don't tell: the vocabulary in use, the shot's numbering, its names."""

    vocabulary: Vocabulary
    shot: Shot
    names: tuple[str, ...]


for _name in ("spoken", "context", "clauses", "findings", "body_parts", "subjects", "said_frames", "remarks"):
    if not Doc.has_extension(_name):
        Doc.set_extension(_name, default=None)


def _words(doc: Doc) -> list[str]:
    return [token.text for token in doc._.spoken]


def _component(name: str, requires: Sequence[str], assigns: str, compute: Callable[[Doc], Any]) -> None:
    """Registers a component that sets one attribute of the Doc from others that it says it needs."""

    def factory(nlp: Language, name: str) -> Component:
        def component(doc: Doc) -> Doc:
            doc._.set(assigns, compute(doc))
            return doc

        return component

    Language.factory(
        name, requires=[f"doc._.{needed}" for needed in requires], assigns=[f"doc._.{assigns}"], func=factory
    )


_component("critsheet_clauses", ["spoken"], "clauses", lambda doc: clauses(doc._.spoken))
_component(
    "critsheet_terms",
    ["spoken", "context"],
    "findings",
    lambda doc: find(_words(doc), doc._.context.vocabulary, doc._.context.names),
)
_component(
    "critsheet_body",
    ["spoken", "context"],
    "body_parts",
    lambda doc: find_body(_words(doc), doc._.context.vocabulary),
)
_component(
    "critsheet_subjects",
    ["spoken", "context"],
    "subjects",
    lambda doc: find_subjects(_words(doc), doc._.context.names),
)
_component(
    "critsheet_frames",
    ["spoken", "context"],
    "said_frames",
    lambda doc: said_frames(_words(doc), doc._.context.shot),
)
_component(
    "critsheet_remarks",
    ["clauses", "findings", "body_parts", "subjects", "said_frames"],
    "remarks",
    lambda doc: [_remark(doc, index, first, end) for index, (first, end) in enumerate(doc._.clauses)],
)


def _remark(doc: Doc, index: int, first: int, end: int) -> Remark:
    tokens: Sequence[SpokenToken] = doc._.spoken[first:end]
    words = tuple(token.text for token in tokens)
    findings = tuple(found for found in doc._.findings if first <= found.start < end)
    return Remark(
        index=index,
        first=first,
        end=end,
        start_s=tokens[0].start_s,
        end_s=tokens[-1].end_s,
        after_pause=index == 0 or tokens[0].pause_s >= LONG_PAUSE_S,
        text=said(tokens),
        function=function_of(findings),
        findings=findings,
        body=tuple(found for found in doc._.body_parts if first <= found.start < end),
        frames=tuple(found for found in doc._.said_frames if first <= found.start < end),
        subjects=tuple(found for found in doc._.subjects if first <= found.start < end),
        words=words,
        unsure=tuple(token.text for token in tokens if token.is_word and token.probability < UNSURE_WORD),
    )


@cache
def pipeline() -> Language:
    """The spaCy pipeline that reads critiques; its tokeniser is not used, speech comes as words."""
    nlp = spacy.blank("en")
    for name in COMPONENTS:
        nlp.add_pipe(name)
    return nlp


def read(transcript: Transcript, vocabulary: Vocabulary, shot: Shot, names: tuple[str, ...] = ()) -> list[Remark]:
    """The remarks of a transcript in order of time, one a clause; empty where nothing was said."""
    tokens = spoken_tokens(transcript)
    if not tokens:
        return []
    nlp = pipeline()
    doc = Doc(nlp.vocab, words=[token.text for token in tokens])
    doc._.spoken = tokens
    doc._.context = Context(vocabulary, shot, names)
    for _, component in nlp.pipeline:
        doc = component(doc)
    remarks: list[Remark] = doc._.remarks
    return remarks
