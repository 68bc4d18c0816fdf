"""What a class is told is counted, and nothing that rests on fewer than five students is shown."""

import pandas as pd
import pytest
from invented_cohort import everyone, told

from critsheet.cohort.hiding import FEWEST
from critsheet.cohort.recurring import recurring
from critsheet.cohort.tables import cohort
from critsheet.errors import InputError

WEEK_10, WEEK_11 = "2026-03-02", "2026-03-09"
"""Mondays of ISO weeks 10 and 11 of 2026 (any ISO 8601 calendar)."""


def test_notes_are_counted_by_category_and_iso_week() -> None:
    rows = everyone(6, WEEK_10, "contact", "foot", "open", None) + everyone(5, WEEK_11, "timing", "", "open", None)
    found = cohort(told(rows + everyone(5, WEEK_11, "contact", "foot", "open", None)))
    assert found.weeks.loc["contact"].tolist() == [6, 5]
    assert found.weeks.loc["timing"].tolist() == [0, 5]
    assert list(found.weeks.columns) == ["2026-W10", "2026-W11"]


@pytest.mark.parametrize(
    ("day", "week"),
    [
        # ISO 8601: week 1 has the year's first Thursday; the days around New Year are the standard's worked examples.
        ("2024-12-30", "2025-W01"),
        ("2021-01-03", "2020-W53"),
        ("2026-01-01", "2026-W01"),
    ],
)
def test_the_days_around_new_year_belong_to_the_week_of_their_thursday(day: str, week: str) -> None:
    found = cohort(told(everyone(5, day, "contact", "foot", "open", None)))
    assert list(found.weeks.columns) == [week]


def test_a_week_without_notes_stands_between() -> None:
    rows = everyone(5, WEEK_10, "contact", "", "open", None) + everyone(5, "2026-03-16", "contact", "", "open", None)
    assert cohort(told(rows)).weeks.loc["contact"].tolist() == [5, 0, 5]


def test_praise_is_nothing_that_is_told_to_do() -> None:
    rows = everyone(5, WEEK_10, "contact", "", "open", None) + everyone(5, WEEK_10, "acting", "", "praise", None)
    assert list(cohort(told(rows)).weeks.index) == ["contact"]


def test_fewer_than_five_students_are_no_cohort() -> None:
    with pytest.raises(InputError, match="There are 4 students"):
        cohort(told(everyone(4, WEEK_10, "contact", "", "open", None)))


def test_what_rests_on_fewer_than_five_students_is_not_shown() -> None:
    rows = everyone(6, WEEK_10, "contact", "", "open", None) + everyone(4, WEEK_10, "timing", "", "done", WEEK_11)
    found = cohort(told(rows))
    assert pd.isna(found.weeks.loc["timing", "2026-W10"])
    assert found.categories.loc["timing"].isna().all()
    assert found.returns.loc["timing"].isna().all()


def test_one_missing_figure_takes_another_with_it() -> None:
    rows = [
        *everyone(9, WEEK_10, "contact", "", "open", None),
        *everyone(2, WEEK_11, "contact", "", "open", None),
        *everyone(6, "2026-03-16", "contact", "", "open", None),
    ]
    weeks = cohort(told(rows)).weeks.loc["contact"]
    assert weeks.isna().tolist() == [False, True, True]


def test_what_was_fixed_and_came_again() -> None:
    rows = [
        *everyone(10, WEEK_10, "contact", "foot", "solved", WEEK_11),
        *everyone(5, "2026-03-16", "contact", "foot toes", "open", None),
        *everyone(5, "2026-03-16", "contact", "hand", "open", None),
    ]
    returns = cohort(told(rows)).returns.loc["contact"]
    assert (returns["fixed"], returns["returned"], returns["days"]) == (10, 0.5, 7)


def test_what_was_ticked_and_asked_for_anew_came_again() -> None:
    table = told(
        everyone(6, WEEK_10, "contact", "foot", "again", WEEK_11)
        + everyone(6, WEEK_11, "contact", "foot", "open", None)
    )
    ticked = pd.Timestamp("2026-03-05", tz="UTC").as_unit("s")
    table["ticked_on"] = table["ticked_on"].mask(table["status"] == "again", ticked)
    returns = cohort(table).returns.loc["contact"]
    assert (returns["fixed"], returns["returned"], returns["days"]) == (6, 1.0, 4)


def test_another_body_part_or_another_student_is_no_return() -> None:
    rows = everyone(6, WEEK_10, "contact", "foot", "done", WEEK_11)
    rows += everyone(6, "2026-03-16", "contact", "foot", "open", None, prefix="Other")
    assert cohort(told(rows)).returns.loc["contact", "returned"] == 0


def test_open_notes_count_as_lasting_at_least_so_long() -> None:
    rows = everyone(6, WEEK_10, "contact", "", "done", "2026-03-12") + everyone(
        5, WEEK_10, "contact", "", "open", None, prefix="Other"
    )
    assert cohort(told(rows)).categories.loc["contact", "days_open"] == 10
    rows += everyone(5, WEEK_10, "contact", "", "open", None, prefix="Third")
    assert pd.isna(cohort(told(rows)).categories.loc["contact", "days_open"])


def test_mentors_of_few_students_are_left_out_and_another_so_that_they_are_no_remainder() -> None:
    shares = {"Hal Orsini": 9, "Idris Vale": 6, "Bea Nakata": 4}
    parts = [told(everyone(count, WEEK_10, "contact", "", "open", None), mentor=name) for name, count in shares.items()]
    whole = pd.concat([part.astype({"mentor": object}) for part in parts], ignore_index=True)
    whole["mentor"], whole["student"] = whole["mentor"].astype("category"), whole["student"].astype("category")
    found = cohort(whole)
    assert list(found.mentors.index) == ["Hal Orsini"] and found.few_mentors == 2
    assert found.mentors.loc["Hal Orsini", "contact"] == 1.0


def test_no_student_is_in_any_table() -> None:
    found = cohort(told(everyone(6, WEEK_10, "contact", "foot", "done", WEEK_11)))
    text = "".join(table.to_csv() for table in (found.weeks, found.categories, found.returns, found.mentors))
    assert "Student" not in text and FEWEST == 5


def test_what_comes_up_in_three_reviews_of_a_student_comes_again() -> None:
    days = (WEEK_10, WEEK_11, "2026-03-16")
    rows = [("Tamsin Okoro", day, "contact", "foot", "open", None) for day in days]
    found = recurring(told([*rows, ("Tamsin Okoro", WEEK_10, "timing", "", "open", None)]))  # type: ignore[list-item]
    assert [(one.category, one.part, one.reviews, one.latest) for one in found] == [
        ("contact", "foot", 3, "2026-03-16")
    ]
