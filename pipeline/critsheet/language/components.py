"""The language stage as registered spaCy components, each saying what it needs and what it gives.

The Doc carries the spoken tokens and the shot's context; every component reads what earlier ones left
on it and adds its own. `read` runs them all.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import spacy
from spacy.language import Language
from spacy.tokens import Doc

from critsheet.language.clauses import clauses
from critsheet.language.disfluencies import fluent
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


@Language.factory("critsheet_clauses", requires=["doc._.spoken"], assigns=["doc._.clauses"])
def _clauses(nlp: Language, name: str) -> Component:
    def component(doc: Doc) -> Doc:
        doc._.clauses = clauses(doc._.spoken)
        return doc

    return component


@Language.factory("critsheet_terms", requires=["doc._.spoken", "doc._.context"], assigns=["doc._.findings"])
def _terms(nlp: Language, name: str) -> Component:
    def component(doc: Doc) -> Doc:
        doc._.findings = find(_words(doc), doc._.context.vocabulary, doc._.context.names)
        return doc

    return component


@Language.factory("critsheet_body", requires=["doc._.spoken", "doc._.context"], assigns=["doc._.body_parts"])
def _body(nlp: Language, name: str) -> Component:
    def component(doc: Doc) -> Doc:
        doc._.body_parts = find_body(_words(doc), doc._.context.vocabulary)
        return doc

    return component


@Language.factory("critsheet_subjects", requires=["doc._.spoken", "doc._.context"], assigns=["doc._.subjects"])
def _subjects(nlp: Language, name: str) -> Component:
    def component(doc: Doc) -> Doc:
        doc._.subjects = find_subjects(_words(doc), doc._.context.names)
        return doc

    return component


@Language.factory("critsheet_frames", requires=["doc._.spoken", "doc._.context"], assigns=["doc._.said_frames"])
def _frames(nlp: Language, name: str) -> Component:
    def component(doc: Doc) -> Doc:
        doc._.said_frames = said_frames(_words(doc), doc._.context.shot)
        return doc

    return component


@Language.factory(
    "critsheet_remarks",
    requires=["doc._.clauses", "doc._.findings", "doc._.body_parts", "doc._.subjects", "doc._.said_frames"],
    assigns=["doc._.remarks"],
)
def _remarks(nlp: Language, name: str) -> Component:
    def component(doc: Doc) -> Doc:
        doc._.remarks = [_remark(doc, index, first, end) for index, (first, end) in enumerate(doc._.clauses)]
        return doc

    return component


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
        plain=" ".join(fluent(words)),
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
