"""The tables of a cohort, from the notes that were told in it (`archive.told`).

Every figure rests on at least FEWEST students; where fewer stand behind it, it is missing, and so are others from which
it could be worked out (`hiding.py`).
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from critsheet.cohort.hiding import FEWEST, Cells
from critsheet.cohort.survival import median_duration
from critsheet.errors import InputError

if TYPE_CHECKING:
    import pandas as pd

_DAY_S = 86_400
_NOBODY = ""
"""Stands for the mentor of reviews that name none: their notes are in the totals."""


@dataclass(frozen=True)
class Cohort:
    """What the page shows. In the tables by category, those told most stand first; NA is what may not be shown.

    `weeks`: notes by category (rows) and ISO week (columns, "2026-W10"). `categories`: notes, students, share without
    frames, days open (the median; None where most are open still). `returns`: notes that were fixed, the share of them
    that came again, median days until then. `mentors`: notes, students and the share without frames of each mentor, and
    the share of each category (columns) in what they say.
    """

    students: int
    sheets: int
    notes: int
    first: str
    last: str
    weeks: "pd.DataFrame"
    categories: "pd.DataFrame"
    returns: "pd.DataFrame"
    mentors: "pd.DataFrame"
    few_mentors: int


def cohort(told: "pd.DataFrame") -> Cohort:
    """The tables of a cohort; `told` has the columns of `archive.told`.

    Raises InputError where too few students are named for anything to be shown.
    """
    asked = asked_for(told)
    students = asked["student"].nunique()
    if students < FEWEST:
        raise InputError(
            f"There {'is one student' if students == 1 else f'are {students} students'} in this; "
            f"a cohort is shown from {FEWEST} on.",
            "Take a larger class or a longer time; a student's own page: critsheet cohort --student NAME",
        )
    asked["student"] = asked["student"].cat.remove_unused_categories()
    asked["mentor"] = asked["mentor"].cat.remove_unused_categories()
    order = asked["category"].value_counts(sort=True).loc[lambda counts: counts > 0].index.tolist()
    categories = _categories(asked, order)
    shown = categories["notes"].notna()
    mentors, few = _mentors(asked, order, shown)
    return Cohort(
        students=told["student"].nunique(),
        sheets=told["sheet"].nunique(),
        notes=len(asked),
        first=told["told_on"].min().date().isoformat(),
        last=told["told_on"].max().date().isoformat(),
        weeks=_weeks(asked, order, shown),
        categories=categories,
        returns=_returns(asked, order),
        mentors=mentors,
        few_mentors=few,
    )


def asked_for(told: "pd.DataFrame") -> "pd.DataFrame":
    """The notes that ask for something: neither praise, nor a mentor's word that something is solved now."""
    said_so = (told["status"] == "solved") & (told["closed_on"] == told["told_on"])
    return told[(told["kind"] != "keep") & ~said_so].copy()


def _weeks(asked: "pd.DataFrame", order: list[str], shown: "pd.Series[bool]") -> "pd.DataFrame":
    """Notes by category and ISO week, every week of the time between, also those without any."""
    import pandas as pd

    # By their Mondays, so that a week belongs to the year that ISO 8601 gives it.
    monday = asked["told_on"].dt.tz_localize(None).dt.to_period("W-SUN").dt.start_time
    every = pd.date_range(monday.min(), monday.max(), freq="7D")
    cells = Cells(asked["category"], monday, asked["student"], order, list(every))
    found = cells.shown(row_totals=shown.to_numpy(), column_totals=[False] * len(every))
    iso = every.isocalendar()
    found.columns = pd.Index([f"{year}-W{week:02}" for year, week in zip(iso["year"], iso["week"], strict=True)])
    return found


def _categories(asked: "pd.DataFrame", order: list[str]) -> "pd.DataFrame":
    import pandas as pd

    grouped = asked.groupby("category", observed=True)
    table = pd.DataFrame(
        {
            "notes": grouped.size(),
            "students": grouped["student"].nunique(),
            "without_frames": 1 - grouped["has_frames"].mean(),
            "days_open": _days_open(asked),
        }
    ).reindex(order)
    # As one row with the head count as its total, so that no category can be worked out as what is left.
    row = Cells(pd.Series("all", asked.index), asked["category"], asked["student"], ["all"], order)
    hidden = row.shown(row_totals=[True], column_totals=[False] * len(order)).loc["all"].isna()
    return table.astype({"notes": "Int64", "students": "Int64"}).mask(hidden)


def _days_open(asked: "pd.DataFrame") -> "pd.Series[float]":
    """The median of how long notes of each category stay open, in days. One asked for anew lasts at least so long."""
    import pandas as pd

    until = asked["closed_on"].fillna(max(asked["told_on"].max(), asked["closed_on"].max()))
    days = (until - asked["told_on"]).dt.total_seconds().clip(lower=0) / _DAY_S
    ended = asked["status"].isin(["done", "solved"])
    found = {
        category: median_duration(days.loc[rows].to_numpy(), ended.loc[rows].to_numpy())
        for category, rows in asked.groupby("category", observed=True).groups.items()
    }
    return pd.Series(found, dtype="float64")


def _returns(asked: "pd.DataFrame", order: list[str]) -> "pd.DataFrame":
    """What comes again after it was fixed: a later note of the category on the same body part of the same student.

    Where no body part is named, who or what it is about must be the same; a note that names neither is left out.
    """
    import pandas as pd

    named = asked[asked["student"].notna()]
    subject = "of-" + named["subject"].astype("string").str.casefold().str.replace(" ", "-")
    part = named["body"].astype("string").where(named["body"] != "", subject).str.split()
    done = named["status"].isin(["done", "solved"])
    # A note that was ticked and is asked for anew was fixed on the day of the tick.
    fixed_on = named["closed_on"].where(done, named["ticked_on"].where(named["status"] == "again"))
    about = named[["student", "category", "told_on"]].assign(part=part, fixed_on=fixed_on)
    about = about.reset_index(names="note").explode("part").dropna(subset="part")
    keys = ["student", "category", "part"]
    fixed = about[about["fixed_on"].notna()].sort_values("fixed_on")
    later = about[[*keys, "told_on"]].sort_values("told_on").rename(columns={"told_on": "again_on"})
    met = pd.merge_asof(
        fixed, later, left_on="fixed_on", right_on="again_on", by=keys, direction="forward", allow_exact_matches=False
    )
    met["days"] = (met["again_on"] - met["fixed_on"]).dt.total_seconds() / _DAY_S
    each = met.groupby("note").agg(category=("category", "first"), student=("student", "first"), days=("days", "min"))
    grouped, back = each.groupby("category", observed=True), each.dropna().groupby("category", observed=True)
    table = pd.DataFrame(
        {
            "fixed": grouped.size().astype("Int64"),
            "returned": grouped["days"].count() / grouped.size(),
            "days": grouped["days"].median(),
        }
    ).reindex(order)
    few = grouped["student"].nunique().reindex(order, fill_value=0) < FEWEST
    # The days rest on those alone whose notes came back.
    table["days"] = table["days"].mask(back["student"].nunique().reindex(order, fill_value=0) < FEWEST)
    return table.mask(few)


def _mentors(asked: "pd.DataFrame", order: list[str], told_of: "pd.Series[bool]") -> "tuple[pd.DataFrame, int]":
    """What each mentor speaks of, and how many mentors are left out as they speak to too few students."""
    import pandas as pd

    mentor = asked["mentor"].astype("object").fillna(_NOBODY)
    grouped = asked.groupby(mentor)
    table = pd.DataFrame(
        {
            "notes": grouped.size().astype("Int64"),
            "students": grouped["student"].nunique().astype("Int64"),
            "without_frames": 1 - grouped["has_frames"].mean(),
        }
    ).sort_index()
    row = Cells(pd.Series("all", asked.index), mentor, asked["student"], ["all"], list(table.index))
    enough = row.shown(row_totals=[True], column_totals=[False] * len(table), never=[_NOBODY]).loc["all"].notna()
    cells = Cells(mentor, asked["category"], asked["student"], list(table.index), order)
    never = list(table.index[~enough])
    counts = cells.shown(row_totals=enough.to_numpy(), column_totals=told_of.to_numpy(), never=never)
    shares = counts.astype("Float64").div(table["notes"].astype("Float64"), axis=0)
    few = int((~enough).sum()) - (_NOBODY in table.index)
    return table[enough].join(shares[enough]), few
