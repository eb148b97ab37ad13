"""The chance of reaching a target at this rate."""

from datetime import date

import numpy as np
import pandas as pd
import pytest

from dashboard.changes.targets import outlook
from dashboard.notes.changes import Target

MONTHS = pd.DataFrame(
    {
        "month": ["2026-05", "2026-06", "2026-07", "2026-08", "2026-09"],
        "hits": [20, 60, 62, 58, 40],
        "jobs": [100, 100, 100, 100, 60],
    }
)


def target(value: float, by: date, measure: str = "first_time_fix") -> Target:
    return Target(id=1, measure=measure, value=value, by=by)


def test_the_rate_is_that_of_the_last_three_whole_months():
    """September ends fewer than 30 days before the records do."""
    found = outlook(target(0.65, date(2026, 12, 31)), MONTHS, date(2026, 10, 15), 30)
    assert found.months == ("2026-06", "2026-07", "2026-08")
    assert (found.hits, found.jobs, found.jobs_a_month) == (180, 300, 100)


def test_the_chance_is_that_of_drawn_months():
    """A twin: draw the true rate from the posterior, then the month."""
    found = outlook(target(0.65, date(2026, 12, 31)), MONTHS, date(2026, 10, 15), 30)
    rng = np.random.default_rng(1)
    rates = rng.beta(180.5, 120.5, 200_000)
    drawn = rng.binomial(100, rates)
    assert found.chance == pytest.approx((drawn >= 65).mean(), abs=0.005)


def test_of_what_should_fall_the_chance_is_of_falling():
    found = outlook(target(0.70, date(2026, 12, 31), "callbacks"), MONTHS, date(2026, 10, 15), 30)
    assert found.chance > 0.95


def test_a_month_that_is_over_is_judged_by_itself():
    found = outlook(target(0.60, date(2026, 7, 31)), MONTHS, date(2026, 10, 15), 30)
    assert found.is_over
    assert found.is_reached
    assert not outlook(target(0.63, date(2026, 7, 1)), MONTHS, date(2026, 10, 15), 30).is_reached


def test_few_jobs_say_nothing():
    found = outlook(target(0.6, date(2026, 12, 31)), MONTHS.head(0), date(2026, 10, 15), 30)
    assert found.chance is None
