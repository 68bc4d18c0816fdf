"""Nobody can work out a figure that rests on few students, whatever else is shown."""

import random

import numpy as np
import pandas as pd
import pytest
from invented_cohort import Row, told

from critsheet.cohort.hiding import FEWEST
from critsheet.cohort.tables import Cohort, asked_for, cohort

CATEGORIES = ("acting", "staging", "contact", "timing", "overlap", "eyes")
MENTORS = ("Hal Orsini", "Greta Munk", "Idris Vale")


def a_class(seed: int) -> pd.DataFrame:
    """Twelve students who are told different things by three mentors in five weeks."""
    chance = random.Random(seed)
    likes = {student: chance.sample(CATEGORIES, 3) for student in range(12)}
    rows: list[Row] = []
    mentors = []
    for _ in range(250):
        student = min(chance.randrange(12), chance.randrange(12))
        day = pd.Timestamp("2025-12-08") + pd.Timedelta(days=chance.randrange(35))
        category = chance.choice(likes[student] if chance.random() < 0.8 else CATEGORIES)
        rows.append((f"Student {student}", day.isoformat(), category, "foot", "open", None))
        mentors.append(MENTORS[0] if student < 6 else chance.choice(MENTORS))
    table = told(rows)
    table["mentor"] = pd.Categorical(mentors)
    return table


def bounds(
    counts: pd.DataFrame, shown: pd.DataFrame, row_totals: "pd.Series[int]", column_totals: "pd.Series[int]"
) -> pd.DataFrame:
    """How far a reader can narrow down each hidden cell: 0 where it is known. All hidden ones hold a note at least."""
    from scipy.optimize import linprog

    hidden = [
        (row, column)
        for row in counts.index
        for column in counts.columns
        if row not in shown.index or pd.isna(shown.loc[row, column])
    ]
    hidden = [cell for cell in hidden if counts.loc[cell] > 0]
    equations, left = [], []
    for axis, totals in ((0, row_totals), (1, column_totals)):
        for line, total in totals.dropna().items():
            equations.append([float(cell[axis] == line) for cell in hidden])
            seen = shown.loc[line] if axis == 0 else shown[line]
            left.append(float(total) - float(seen.fillna(0).sum()))
    widths = pd.DataFrame(np.nan, index=counts.index, columns=counts.columns)
    for place, cell in enumerate(hidden):
        aim = np.zeros(len(hidden))
        aim[place] = 1
        ends = [linprog(sign * aim, A_eq=equations, b_eq=left, bounds=(1, None)) for sign in (1, -1)]
        widths.loc[cell] = np.inf if ends[1].status == 3 else round(-ends[1].fun - ends[0].fun, 6)
    return widths


def students(asked: pd.DataFrame, row: str, column: "str | pd.Series[str]") -> pd.DataFrame:
    """How many students are behind each cell."""
    return asked.groupby([row, column], observed=True)["student"].nunique().unstack(fill_value=0)


def week(asked: pd.DataFrame) -> "pd.Series[str]":
    """The ISO week of each note."""
    iso = asked["told_on"].dt.isocalendar()
    return iso["year"].astype(str) + "-W" + iso["week"].astype(str).str.zfill(2)


def known(found: Cohort) -> "pd.Series[int]":
    """The category totals on the page."""
    return found.categories["notes"].astype("Float64")


@pytest.mark.parametrize("seed", range(12))
def test_no_week_of_few_students_can_be_worked_out(seed: int) -> None:
    asked, found = asked_for(a_class(seed)), cohort(a_class(seed))
    counts = asked.groupby(["category", week(asked)], observed=True).size().unstack(fill_value=0)
    shown = found.weeks.loc[counts.index, counts.columns]
    widths = bounds(counts, shown, known(found), pd.Series(dtype=float))
    few = students(asked, "category", week(asked)) < FEWEST
    assert not (few & (counts > 0) & (widths == 0)).any(axis=None)


@pytest.mark.parametrize("seed", range(12))
def test_nothing_a_mentor_told_few_students_can_be_worked_out(seed: int) -> None:
    asked, found = asked_for(a_class(seed)), cohort(a_class(seed))
    counts = asked.groupby(["mentor", "category"], observed=True).size().unstack(fill_value=0)
    shares = found.mentors[list(counts.columns)].astype("Float64")
    shown = shares.mul(found.mentors["notes"].astype("Float64"), axis=0).round()
    widths = bounds(counts, shown, found.mentors["notes"].astype("Float64"), known(found).reindex(counts.columns))
    few = students(asked, "mentor", "category") < FEWEST
    assert not (few & (counts > 0) & (widths == 0)).any(axis=None)


def test_the_notes_of_mentors_left_out_are_no_remainder() -> None:
    for seed in range(12):
        asked, found = asked_for(a_class(seed)), cohort(a_class(seed))
        out = asked[~asked["mentor"].isin(found.mentors.index)]
        assert out.empty or out["student"].nunique() >= FEWEST


def test_a_category_of_few_students_is_no_remainder() -> None:
    rows: list[Row] = [
        (f"Student {student}", "2026-03-02", category, "", "open", None)
        for category, count in (("contact", 9), ("timing", 8), ("overlap", 7), ("eyes", 2))
        for student in range(count)
    ]
    notes = cohort(told(rows)).categories["notes"]
    assert notes.isna().to_dict() == {"contact": False, "timing": False, "overlap": True, "eyes": True}


def test_days_until_something_came_again_rest_on_those_to_whom_it_did() -> None:
    fixed: list[Row] = [(f"Student {n}", "2026-03-02", "contact", "foot", "done", "2026-03-04") for n in range(9)]
    again: list[Row] = [("Student 1", "2026-03-09", "contact", "foot", "open", None)]
    returns = cohort(told(fixed + again)).returns.loc["contact"]
    assert returns["fixed"] == 9 and pd.isna(returns["days"])


def test_where_no_body_part_is_named_the_same_character_must_be_meant() -> None:
    def about(character: str | None) -> float:
        rows: list[Row] = [(f"Student {n}", "2026-03-02", "acting", "", "done", "2026-03-04") for n in range(6)]
        rows += [(f"Student {n}", "2026-03-09", "acting", "", "open", None) for n in range(6)]
        table = told(rows)
        table["subject"] = ["Osk"] * 6 + [character] * 6
        return float(cohort(table).returns.loc["acting", "returned"])

    assert about("osk") == 1
    assert about("Mina") == 0
    assert about(None) == 0
