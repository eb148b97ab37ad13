"""Do the intervals hold the truth as often as they say where records are few or a cell is empty?"""

from math import exp

import numpy as np
import pytest
from pytest import approx
from scipy.stats import binom, norm

from dashboard.stats.accuracy import power_of_test
from dashboard.stats.durations.lognormal import planned_minutes
from dashboard.stats.roc import roc_area

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("area", [0.5, 0.55, 0.6])
@pytest.mark.parametrize(("bad", "good"), [(30, 30), (30, 200), (60, 60)])
def test_a_test_that_hardly_separates_parts_has_a_covering_interval(
    area: float, bad: int, good: int
):
    """1,000 shops of normal readings; Φ(d/√2) = area. 95 % less three standard errors and 1 point."""
    generator, apart, held = np.random.default_rng(1), norm.ppf(area) * 2**0.5, 0
    for _ in range(1000):
        found = roc_area(
            generator.normal(apart, 1, bad).tolist(), generator.normal(0, 1, good).tolist()
        )
        held += found.low <= area <= found.high
    assert 0.92 <= held / 1000 <= 0.975


@pytest.mark.parametrize(
    ("sensitivity", "specificity", "ill", "sound"),
    [(0.95, 0.8, 20, 40), (0.9, 0.9, 10, 30), (0.98, 0.7, 30, 60), (0.95, 0.5, 8, 20)],
)
def test_the_ratio_of_an_inside_reading_with_empty_cells(
    sensitivity: float, specificity: float, ill: int, sound: int
):
    """Summed over every table, no simulation. An empty cell in 35 to 66 % of these tables."""
    truth, held, empty, held_empty = (1 - sensitivity) / specificity, 0.0, 0.0, 0.0
    for missed, kept in np.ndindex(ill + 1, sound + 1):
        chance = binom.pmf(missed, ill, 1 - sensitivity) * binom.pmf(kept, sound, specificity)
        ratio = power_of_test(ill - missed, missed, sound - kept, kept).ratio_inside
        if ratio.value is None or not missed:
            empty += chance
        is_held = ratio.low is None or ratio.low <= truth <= ratio.high
        held += chance * is_held
        held_empty += chance * is_held * (ratio.value is None or not missed)
    assert held >= 0.925
    assert empty > 0.3
    assert held_empty == approx(empty)  # an open interval is never too narrow


@pytest.mark.parametrize("jobs", [3, 5, 10, 20, 29])
@pytest.mark.parametrize("between", [0.0, 0.2, 0.4])
def test_planned_minutes_of_few_jobs(jobs: int, between: float):
    """300 repairs, log means N(4, between) within the class: 95 % less what resampling loses."""
    generator, held = np.random.default_rng(2), 0
    for draw in range(300):
        centre = generator.normal(4, between)
        wide = np.exp(generator.normal(4, (0.25 + between**2) ** 0.5, 200))
        own = np.exp(generator.normal(centre, 0.5, jobs))
        found = planned_minutes(own, wide, 0.75, 300, draw, between)
        held += found.low <= exp(centre + norm.ppf(0.75) * 0.5) <= found.high
    assert held / 300 >= 0.86
