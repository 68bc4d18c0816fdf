"""What one student is asked for again and again."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from critsheet.cohort.tables import asked_for

if TYPE_CHECKING:
    import pandas as pd

OFTEN = 3
"""Reviews from which a matter counts as one that comes again: twice happens to everybody."""


@dataclass(frozen=True)
class Recurring:
    """A category, with the body part where there is one, that came up in so many reviews; `latest` is a day."""

    category: str
    part: str
    reviews: int
    latest: str


def recurring(told: "pd.DataFrame") -> list[Recurring]:
    """What came up in at least OFTEN reviews of one student, the most frequent first."""
    asked = asked_for(told)
    about = asked.assign(part=asked["body"].str.split()).explode("part").fillna({"part": ""})
    grouped = about.groupby(["category", "part"], observed=True)
    table = grouped.agg(reviews=("sheet", "nunique"), latest=("told_on", "max")).reset_index()
    often = table[table["reviews"] >= OFTEN].sort_values(["reviews", "category", "part"], ascending=[False, True, True])
    return [
        Recurring(str(row.category), str(row.part), int(row.reviews), row.latest.date().isoformat())
        for row in often.itertuples()
    ]
