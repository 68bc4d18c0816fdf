"""What a cohort is told, as one page and as tables."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from critsheet.cohort.hiding import FEWEST
from critsheet.cohort.tables import Cohort
from critsheet.render.comma_table import table_text
from critsheet.render.page import source_hash
from critsheet.render.page_context import Box, Logo
from critsheet.render.templates import Templates
from critsheet.render.texts import Texts
from critsheet.render.words import cautions, plain
from critsheet.vocabulary import CategoryEntry

if TYPE_CHECKING:
    import pandas as pd

PAGE, STYLE = "cohort.html", "cohort.css"
WEEKS_SHOWN = 8
"""Columns that a page has room for; the table beside it has every week."""
HIDDEN = "–"


@dataclass(frozen=True)
class Grid:
    """A table: `heads` of its columns, and of each row its head and its cells."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Part:
    """A part of the page: what it shows and how it is counted; `picture` is its data or ""."""

    key: str
    title: str
    about: str
    picture: str
    picture_text: str
    grid: Grid


@dataclass(frozen=True)
class CohortPage:
    """Everything on the page."""

    form: str
    title: str
    logo: Logo | None
    boxes: tuple[Box, ...]
    parts: tuple[Part, ...]
    cautions: tuple[str, ...]


def to_cohort_page(found: Cohort, title: str, categories: Mapping[str, CategoryEntry], templates: Templates) -> str:
    """The page as text: it fetches nothing and runs no script. Raises TemplateError for a mistake in a template."""
    say = templates.texts
    names = [category_name(str(category), categories, say) for category in found.weeks.index]
    page = CohortPage(
        form=say("cohort.form"),
        title=plain(title),
        logo=templates.logo,
        boxes=(
            Box(say("cohort.time"), f"{found.first} – {found.last}"),
            Box(say("cohort.students"), str(found.students)),
            Box(say("cohort.sheets"), f"{found.sheets:,}"),
            Box(say("cohort.notes"), f"{found.notes:,}"),
        ),
        parts=(
            _told(found, names, say),
            _open(found, names, say),
            _returns(found, names, say),
            *_mentors(found, names, say),
        ),
        cautions=(say("cohort.caution", fewest=FEWEST), *cautions(say)),
    )
    return rendered(templates, page, PAGE)


def rendered(templates: Templates, page: object, name: str) -> str:
    """A page of the archive in its template, with the style that all of them share."""
    style = templates.style(STYLE)
    policy = f"default-src 'none'; style-src {source_hash(style)}; img-src data:; base-uri 'none'; form-action 'none'"
    # Our own file, not escaped: the hash covers every byte between the tags.
    return templates.render({"page": page, "t": templates.texts, "style": Markup(style), "policy": policy}, name)


def category_name(category: str, categories: Mapping[str, CategoryEntry], say: Texts) -> str:
    """What a category is called in the page's language."""
    return say.of_category(category, "name") or categories[category].name


def csv_files(found: Cohort) -> dict[str, str]:
    """The tables for other programs, by file name; an empty cell is what may not be shown."""
    told = found.categories.join(found.weeks)
    return {
        "told.csv": _csv("category", told),
        "returns.csv": _csv("category", found.returns),
        "mentors.csv": _csv("mentor", found.mentors),
    }


def _csv(key: str, table: "pd.DataFrame") -> str:
    rows = [[plain(str(name)), *map(_bare, row)] for name, row in zip(table.index, table.to_numpy(), strict=True)]
    return table_text([key, *map(str, table.columns)], rows)


def _bare(value: Any) -> str:
    import pandas as pd

    if pd.isna(value):
        return ""
    return f"{value:.4g}" if isinstance(value, float) and value % 1 else f"{value:.0f}"


def _cell(value: Any, form: str = "{:,.0f}") -> str:
    import pandas as pd

    return HIDDEN if pd.isna(value) else form.format(float(value))


def _grid(say: Texts, first: str, names: Sequence[str], columns: Sequence[tuple[str, Any, str]]) -> Grid:
    """A table from columns: title, values in the order of `names`, form."""
    rows = tuple(
        (plain(name), tuple(_cell(list(values)[place], form) for _, values, form in columns))
        for place, name in enumerate(names)
    )
    return Grid((say(first), *(title for title, _, _ in columns)), rows)


def _told(found: Cohort, names: Sequence[str], say: Texts) -> Part:
    from critsheet.cohort.figures import weeks_picture

    latest = found.weeks.iloc[:, -WEEKS_SHOWN:]
    table = found.categories
    columns = [
        (say("cohort.notes"), table["notes"], "{:,.0f}"),
        (say("cohort.students"), table["students"], "{:,.0f}"),
        (say("cohort.without_frames"), table["without_frames"], "{:.0%}"),
        *((week, latest[week], "{:,.0f}") for week in latest.columns),
    ]
    grid = _grid(say, "cohort.category", names, columns)
    picture = weeks_picture(found.weeks, names)
    return _part("told", say, picture, grid)


def _open(found: Cohort, names: Sequence[str], say: Texts) -> Part:
    from critsheet.cohort.figures import open_picture

    days = found.categories["days_open"]
    grid = _grid(say, "cohort.category", names, [(say("cohort.days_open"), days, "{:,.0f}")])
    return _part("open", say, open_picture(days, names) if days.notna().any() else "", grid)


def _returns(found: Cohort, names: Sequence[str], say: Texts) -> Part:
    table = found.returns
    columns = [
        (say("cohort.fixed"), table["fixed"], "{:,.0f}"),
        (say("cohort.returned"), table["returned"], "{:.0%}"),
        (say("cohort.days_until"), table["days"], "{:,.0f}"),
    ]
    return _part("returns", say, "", _grid(say, "cohort.category", names, columns))


def _mentors(found: Cohort, names: Sequence[str], say: Texts) -> tuple[Part, ...]:
    """One row a category and one column a mentor, so that none stands above another; none where all are left out."""
    if found.mentors.empty:
        return ()
    by_mentor = [(plain(str(mentor)), row) for mentor, row in found.mentors.iterrows()]
    rows: list[tuple[str, Callable[[Any], str]]] = [
        (say("cohort.notes"), lambda row: _cell(row["notes"])),
        (say("cohort.students"), lambda row: _cell(row["students"])),
        (say("cohort.without_frames"), lambda row: _cell(row["without_frames"], "{:.0%}")),
    ]
    cells = [(title, tuple(show(row) for _, row in by_mentor)) for title, show in rows]
    for name, category in zip(names, found.weeks.index, strict=True):
        cells.append((name, tuple(_cell(row[category], "{:.0%}") for _, row in by_mentor)))
    grid = Grid((say("cohort.speaks_of"), *(mentor for mentor, _ in by_mentor)), tuple(cells))
    return (_part("mentors", say, "", grid),)


def _part(key: str, say: Texts, picture: str, grid: Grid) -> Part:
    return Part(
        key=key,
        title=say(f"cohort.{key}_title"),
        about=say(f"cohort.{key}_about", fewest=FEWEST),
        picture=picture,
        picture_text=say(f"cohort.{key}_picture") if picture else "",
        grid=grid,
    )
