"""Chance of a callback: published survival tables, a reference library, shrinkage by hand."""

import numpy as np
import pytest
from lifelines import KaplanMeierFitter

from dashboard.pricing.callback_chance import callback_chance, shrunk

# Freireich et al. 1963, 6-MP arm, weeks in remission; minus = censored. Survival as printed by
# Kalbfleisch & Prentice and by R survfit, to six decimals.
WEEKS = [6, 6, 6, -6, 7, -9, 10, -10, -11, 13, 16, -17, -19, -20, 22, 23, -25, -32, -32, -34, -35]
SURVIVAL = {
    6: 0.857143,
    7: 0.806723,
    10: 0.752941,
    13: 0.690196,
    16: 0.627451,
    22: 0.537815,
    23: 0.448179,
}


@pytest.mark.parametrize(("week", "free"), SURVIVAL.items())
def test_the_chance_is_that_of_the_published_remission_table(week: int, free: float):
    chance = callback_chance([abs(w) for w in WEEKS], [w > 0 for w in WEEKS], week)
    assert 1 - chance == pytest.approx(free, abs=5e-7)  # printed to six decimals


@pytest.mark.parametrize("seed", range(5))
def test_the_chance_is_that_of_lifelines(seed: int):
    rng = np.random.default_rng(seed)
    days, came = rng.integers(0, 120, 80), rng.random(80) < 0.4
    fitted = KaplanMeierFitter().fit(days, came)
    for by_day in (0, 30, 90):
        expected = 1 - fitted.survival_function_at_times(by_day).iloc[0]
        assert callback_chance(days, came, by_day) == pytest.approx(expected, abs=1e-9)


def test_no_jobs_say_nothing_and_a_job_seen_without_a_return_says_none():
    assert callback_chance([], [], 30) is None
    assert callback_chance([365], [False], 30) == 0


def test_a_repair_of_thirty_jobs_lies_halfway_to_the_shop():
    assert shrunk(0.2, 30, 0.1) == pytest.approx((0.2 + 0.1) / 2)
    assert shrunk(0.2, 0, 0.1) == 0.1
    assert shrunk(None, 0, 0.1) == 0.1
