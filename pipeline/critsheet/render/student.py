"""A student's own page: what is open, and what comes again and again. For the student and their mentors alone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from critsheet.archive.links import page_link, recording_link
from critsheet.archive.searching import Hit
from critsheet.cohort.recurring import Recurring
from critsheet.render.cohort import category_name, rendered
from critsheet.render.page_context import Box, Logo
from critsheet.render.templates import Templates
from critsheet.render.texts import Texts
from critsheet.render.words import cautions, clock, plain, span
from critsheet.vocabulary import CategoryEntry

PAGE = "student.html"
_DAY = len("2026-01-31")


@dataclass(frozen=True)
class OpenNote:
    """A note that is still to be done; `heard` and `page` are links, or "" where nothing is there to lead to."""

    action: str
    quote: str
    facts: tuple[str, ...]
    at: str
    heard: str
    page: str


@dataclass(frozen=True)
class Shot:
    """The open notes of one review."""

    title: str
    about: str
    notes: tuple[OpenNote, ...]


@dataclass(frozen=True)
class Again:
    """What was asked for in several reviews."""

    what: str
    times: str
    latest: str


@dataclass(frozen=True)
class StudentPage:
    """Everything on the page."""

    form: str
    title: str
    logo: Logo | None
    boxes: tuple[Box, ...]
    shots: tuple[Shot, ...]
    again: tuple[Again, ...]
    cautions: tuple[str, ...]


def to_student_page(
    student: str,
    open_notes: Sequence[Hit],
    recurring: Sequence[Recurring],
    categories: Mapping[str, CategoryEntry],
    templates: Templates,
) -> str:
    """The page as text: it fetches nothing and runs no script. Raises TemplateError for a mistake in a template."""
    say = templates.texts
    page = StudentPage(
        form=say("student.form"),
        title=plain(student),
        logo=templates.logo,
        boxes=(Box(say("student.open"), str(len(open_notes))), Box(say("student.again"), str(len(recurring)))),
        shots=_shots(open_notes, categories, say),
        again=tuple(_again(one, categories, say) for one in recurring),
        cautions=(say("student.caution"), *cautions(say)),
    )
    return rendered(templates, page, PAGE)


def _shots(hits: Sequence[Hit], categories: Mapping[str, CategoryEntry], say: Texts) -> tuple[Shot, ...]:
    """The latest review first, the notes of each in the order of its sheet."""
    numbers = sorted({hit.number for hit in hits}, key=lambda number: (_made(hits, number), number), reverse=True)
    return tuple(_shot([hit for hit in hits if hit.number == number], categories, say) for number in numbers)


def _made(hits: Sequence[Hit], number: int) -> str:
    return next(hit.made for hit in hits if hit.number == number)


def _shot(hits: Sequence[Hit], categories: Mapping[str, CategoryEntry], say: Texts) -> Shot:
    first = hits[0]
    facts = (
        say("history.submission", n=first.submission) if first.submission else "",
        say("history.from", mentor=first.mentor) if first.mentor else "",
        first.made[:_DAY],
    )
    ordered = sorted(hits, key=lambda hit: hit.rank)
    notes = tuple(_note(hit, categories, say) for hit in ordered)
    return Shot(plain(first.title), " · ".join(plain(fact) for fact in facts if fact), notes)


def _note(hit: Hit, categories: Mapping[str, CategoryEntry], say: Texts) -> OpenNote:
    frames = ", ".join(span(first, last) for first, last in hit.frames)
    facts = (
        category_name(hit.category, categories, say),
        say.listed(say(f"body.{part}") for part in hit.body) if hit.body else "",
        say("student.frames", frames=frames) if frames else "",
    )
    return OpenNote(
        action=plain(hit.action.text),
        quote=plain(hit.quote.text),
        facts=tuple(fact for fact in facts if fact),
        at=clock(hit.start) if hit.start is not None else "",
        heard=recording_link(hit) or "",
        page=page_link(hit) or "",
    )


def _again(one: Recurring, categories: Mapping[str, CategoryEntry], say: Texts) -> Again:
    part = f", {say(f'body.{one.part}')}" if one.part else ""
    return Again(
        what=category_name(one.category, categories, say) + part,
        times=say.count("student.reviews", one.reviews),
        latest=one.latest,
    )
