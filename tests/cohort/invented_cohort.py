"""What an invented class was told, as the archive hands it over."""

from collections.abc import Sequence
from typing import get_args

import pandas as pd

from critsheet.archive.standing import Status
from critsheet.labels import Category, Kind

Row = tuple[str, str, str, str, str, str | None]
"""Student, day told, category, body part, status, day closed."""


def told(rows: Sequence[Row], mentor: str = "Hal Orsini") -> pd.DataFrame:
    """A table as `archive.told` gives it, a sheet for each student and day."""
    table = pd.DataFrame(rows, columns=["student", "told_on", "category", "body", "status", "closed_on"])
    table["told_on"] = pd.to_datetime(table["told_on"], utc=True).dt.as_unit("s")
    table["closed_on"] = pd.to_datetime(table["closed_on"], utc=True).dt.as_unit("s")
    table["ticked_on"] = table["closed_on"].where(table["status"] == "done")
    table["sheet"] = table.groupby(["student", "told_on"]).ngroup() + 1
    table["note"] = [f"n{place}" for place in range(1, len(table) + 1)]
    table["kind"] = pd.Categorical(["keep" if row[4] == "praise" else "fix" for row in rows], get_args(Kind))
    table["category"] = pd.Categorical(table["category"], get_args(Category))
    table["status"] = pd.Categorical(table["status"], get_args(Status))
    table["subject"], table["class_"], table["title"] = None, "Walks", "Osk lifts"
    table["submission"] = pd.array([1] * len(table), dtype="Int64")
    table["has_frames"] = [place % 2 == 0 for place in range(len(table))]
    table["mentor"] = mentor
    for column in ("student", "mentor", "class_", "title"):
        table[column] = table[column].astype("category")
    return table


def everyone(count: int, *rest: str | None, prefix: str = "Student") -> list[Row]:
    """The same note for so many students."""
    return [(f"{prefix} {place}", *rest) for place in range(count)]  # type: ignore[misc]
