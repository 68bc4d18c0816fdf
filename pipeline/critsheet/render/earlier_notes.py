"""What was open on the earlier sheet, as the page tells it."""

from collections.abc import Mapping, Sequence

from critsheet.render import words
from critsheet.render.page_context import EarlierNote, Outcome, Pointer
from critsheet.render.texts import Texts
from critsheet.render.words import plain
from critsheet.sheet import Earlier

_OUTCOMES = ("repeated", "not mentioned", "resolved")
"""What is still to do comes first."""
_DAY = len("2026-01-31")


def summary(earlier: Sequence[Earlier], texts: Texts) -> str:
    """How many notes of last time came out how, in one sentence; "" where there was no earlier sheet."""
    if not earlier:
        return ""
    resolved, repeated = (sum(one.outcome == outcome for one in earlier) for outcome in ("resolved", "repeated"))
    return texts("letter.earlier", resolved=resolved, repeated=repeated, open=len(earlier) - resolved - repeated)


def outcomes(earlier: Sequence[Earlier], pointers: Mapping[str, Pointer], texts: Texts) -> tuple[Outcome, ...]:
    """The earlier notes by what became of them; outcomes that no note had are left out."""
    found = []
    for outcome in _OUTCOMES:
        notes = tuple(_note(one, pointers, texts) for one in earlier if one.outcome == outcome)
        if notes:
            key = outcome.replace(" ", "-")
            found.append(Outcome(key, texts(f"earlier.{outcome.replace(' ', '_')}"), notes))
    return tuple(found)


def _note(one: Earlier, pointers: Mapping[str, Pointer], texts: Texts) -> EarlierNote:
    facts = (
        plain(one.subject or ""),
        texts.listed(texts(f"body.{part}") for part in one.body) if one.body else "",
        words.frames(one.frames, texts),
        texts("earlier.submission", n=one.submission) if one.submission else "",
        texts("earlier.raised", n=one.raised) if one.raised > 1 else "",
    )
    at = texts("earlier.at_date", at=plain(one.done.at)[:_DAY]) if one.done and one.done.at else ""
    return EarlierNote(
        action=plain(one.action),
        facts=tuple(fact for fact in facts if fact),
        said_done=texts("earlier.said_done", at=at) if one.done else "",
        comment=plain(one.done.comment) if one.done else "",
        doubt=texts.said_by_program(plain(one.doubt or "")),
        note=pointers.get(one.note or ""),
    )
