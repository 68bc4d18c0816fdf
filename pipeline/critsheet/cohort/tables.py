"""The tables of a cohort, from the notes that were told in it (`archive.told`).

Every figure rests on at least FEWEST students; where fewer stand behind it, it is missing. Where a single figure of a
row is missing, another one goes with it, so that none can be worked out from the others (common practice in official
statistics, there called secondary suppression; no source).
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from critsheet.cohort.survival import median_duration
from critsheet.errors import InputError

if TYPE_CHECKING:
    import pandas as pd

FEWEST = 5
"""Students behind a figure: fewer could be recognised in it."""
_DAY_S = 86_400


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
    students = told["student"].nunique()
    if students < FEWEST:
        raise InputError(
            f"There are {students} students in this; a cohort is shown from {FEWEST} on.",
            "Take a larger class or a longer time; a student's own page: critsheet cohort --student NAME",
        )
    asked = asked_for(told)
    asked["student"] = asked["student"].cat.remove_unused_categories()
    asked["mentor"] = asked["mentor"].cat.remove_unused_categories()
    order = asked["category"].value_counts(sort=True).loc[lambda counts: counts > 0].index.tolist()
    mentors, few = _mentors(asked, order)
    return Cohort(
        students=students,
        sheets=told["sheet"].nunique(),
        notes=len(asked),
        first=told["told_on"].min().date().isoformat(),
        last=told["told_on"].max().date().isoformat(),
        weeks=_weeks(asked, order),
        categories=_categories(asked, order),
        returns=_returns(asked, order),
        mentors=mentors,
        few_mentors=few,
    )


def asked_for(told: "pd.DataFrame") -> "pd.DataFrame":
    """The notes that ask for something: neither praise, nor a mentor's word that something is solved now."""
    said_so = (told["status"] == "solved") & (told["closed_on"] == told["told_on"])
    return told[(told["kind"] != "keep") & ~said_so].copy()


def _weeks(asked: "pd.DataFrame", order: list[str]) -> "pd.DataFrame":
    """Notes by category and ISO week, every week of the time between, also those without any."""
    import pandas as pd

    # By their Mondays, so that a week belongs to the year that ISO 8601 gives it.
    monday = asked["told_on"].dt.tz_localize(None).dt.to_period("W-SUN").dt.start_time
    grouped = asked.groupby([asked["category"], monday], observed=True)
    notes, students = grouped.size().unstack(fill_value=0), grouped["student"].nunique().unstack(fill_value=0)
    every = pd.date_range(notes.columns.min(), notes.columns.max(), freq="7D")
    notes = notes.reindex(index=order, columns=every, fill_value=0)
    students = students.reindex(index=order, columns=every, fill_value=0)
    shown = _hidden_too(notes.astype("Int64").mask((students < FEWEST) & (notes > 0)))
    iso = shown.columns.isocalendar()
    shown.columns = pd.Index([f"{year}-W{week:02}" for year, week in zip(iso["year"], iso["week"], strict=True)])
    return shown


def _hidden_too(table: "pd.DataFrame") -> "pd.DataFrame":
    """Where one figure of a row is missing, its smallest other one goes too: a total would give the first away."""
    import pandas as pd

    shown = table.copy()
    for category, row in table[table.isna().sum(axis=1) == 1].iterrows():
        others = row[row.notna() & (row > 0)]
        if len(others):
            shown.loc[category, others.astype(int).idxmin()] = pd.NA
    return shown


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
    return table.astype({"notes": "Int64", "students": "Int64"}).mask(table["students"] < FEWEST)


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
    """What comes again after it was fixed: another note of the category on the same body part of the same student."""
    import pandas as pd

    named = asked[asked["student"].notna()]
    about = named[["student", "category", "told_on", "closed_on", "status"]].assign(part=named["body"].str.split())
    about = about.reset_index(names="note").explode("part").fillna({"part": ""})
    keys = ["student", "category", "part"]
    fixed = about[about["status"].isin(["done", "solved"]) & about["closed_on"].notna()].sort_values("closed_on")
    later = about[[*keys, "told_on"]].sort_values("told_on").rename(columns={"told_on": "again_on"})
    met = pd.merge_asof(
        fixed, later, left_on="closed_on", right_on="again_on", by=keys, direction="forward", allow_exact_matches=False
    )
    met["days"] = (met["again_on"] - met["closed_on"]).dt.total_seconds() / _DAY_S
    each = met.groupby("note").agg(category=("category", "first"), student=("student", "first"), days=("days", "min"))
    grouped = each.groupby("category", observed=True)
    table = pd.DataFrame(
        {
            "fixed": grouped.size().astype("Int64"),
            "returned": grouped["days"].agg(lambda days: days.notna().mean()),
            "days": grouped["days"].median(),
        }
    ).reindex(order)
    return table.mask(grouped["student"].nunique().reindex(order, fill_value=0) < FEWEST)


def _mentors(asked: "pd.DataFrame", order: list[str]) -> "tuple[pd.DataFrame, int]":
    """What each mentor speaks of, and how many mentors are left out as they speak to too few students."""
    import pandas as pd

    grouped = asked.groupby("mentor", observed=True)
    table = pd.DataFrame(
        {
            "notes": grouped.size().astype("Int64"),
            "students": grouped["student"].nunique().astype("Int64"),
            "without_frames": 1 - grouped["has_frames"].mean(),
        }
    ).sort_index()
    cells = asked.groupby(["mentor", "category"], observed=True)
    notes = cells.size().unstack(fill_value=0).reindex(columns=order, fill_value=0)
    students = cells["student"].nunique().unstack(fill_value=0).reindex(columns=order, fill_value=0)
    counts = _hidden_too(notes.astype("Int64").mask((students < FEWEST) & (notes > 0)))
    shares = counts.astype("Float64").div(table["notes"].astype("Float64"), axis=0)
    enough = table["students"] >= FEWEST
    return table[enough].join(shares[enough]), int((~enough).sum())
