"""The glossary: what each category means, in the words of the trade and of the archive's mentors."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from critsheet.cohort.glossary import Explained
from critsheet.render.cohort import category_name, rendered
from critsheet.render.page_context import Box, Logo
from critsheet.render.templates import Templates
from critsheet.render.texts import Texts
from critsheet.render.words import cautions, plain
from critsheet.vocabulary import CategoryEntry

PAGE = "glossary.html"


@dataclass(frozen=True)
class Entry:
    """A category: what the trade says of it, and what mentors said."""

    key: str
    name: str
    meaning: str
    why: str
    remedy: str
    check: str
    explanations: tuple[str, ...]
    praise: tuple[str, ...]


@dataclass(frozen=True)
class GlossaryPage:
    """Everything on the page."""

    form: str
    title: str
    logo: Logo | None
    boxes: tuple[Box, ...]
    entries: tuple[Entry, ...]
    cautions: tuple[str, ...]


def to_glossary_page(found: Sequence[Explained], categories: Mapping[str, CategoryEntry], templates: Templates) -> str:
    """The page as text: it fetches nothing and runs no script. Raises TemplateError for a mistake in a template."""
    say = templates.texts
    page = GlossaryPage(
        form=say("glossary.form"),
        title=say("glossary.title"),
        logo=templates.logo,
        boxes=(),
        entries=tuple(_entry(one, categories, say) for one in found),
        cautions=(say("glossary.caution"), *cautions(say)),
    )
    return rendered(templates, page, PAGE)


def _entry(one: Explained, categories: Mapping[str, CategoryEntry], say: Texts) -> Entry:
    category = categories[one.category]
    return Entry(
        key=one.category,
        name=category_name(one.category, categories, say),
        meaning=say.of_category(one.category, "meaning") or category.meaning,
        why=say.of_category(one.category, "why") or category.why,
        remedy=say.of_category(one.category, "remedy") or category.remedy,
        check=say.of_category(one.category, "check") or category.check,
        explanations=tuple(map(plain, one.explanations)),
        praise=tuple(map(plain, one.praise)),
    )
