"""Does the interval of a habit hold the true ratio, in shops whose truth is known?"""

import pandas as pd
import pytest

from tests.bench.verdicts import intervals, one_shop, true_ratio

SHOPS, JOBS, RIGHT = 10, 2_000, 0.85


@pytest.mark.slow
def test_the_interval_of_each_habit_holds_the_true_ratio_in_nine_shops_of_ten():
    """95% intervals; "missed" held it in 40–50% while later visits still had a say in the flag."""
    drawn = [one_shop(seed, JOBS, RIGHT) for seed in range(SHOPS)]
    jobs = pd.concat([each[1] for each in drawn])
    for habit in ("not_tested", "against", "missed"):
        known = intervals(habit, true_ratio(jobs, habit), [each[2] for each in drawn])
        assert len(known) == SHOPS, habit
        assert known["covers"].sum() >= 9, habit
