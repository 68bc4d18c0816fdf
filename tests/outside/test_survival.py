"""How long notes stay open is estimated as textbooks estimate how long patients stay well."""

import numpy as np

from critsheet.cohort.survival import median_duration

# Weeks of remission under 6-mercaptopurine and under placebo; False: still in remission when last seen. E. J. Freireich
# and others, Blood 21 (1963), 699-716, the worked example of many textbooks (D. R. Cox, D. Oakes, "Analysis of Survival
# Data", 1984, table 1.1). Values and medians (23 and 8 weeks) from memory.
TREATED = [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35]
RELAPSED = [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0]
PLACEBO = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23]


def test_the_worked_example_of_1963() -> None:
    assert median_duration(np.array(TREATED, float), np.array(RELAPSED, bool)) == 23
    assert median_duration(np.array(PLACEBO, float), np.ones(len(PLACEBO), bool)) == 8


def test_where_most_goes_on_nobody_can_say() -> None:
    assert median_duration(np.array([1.0, 5, 5, 5]), np.array([True, False, False, False])) is None
    assert median_duration(np.array([]), np.array([], bool)) is None
