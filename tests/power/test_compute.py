"""What a page can find: against statsmodels, simulation and the drawn counts."""

import numpy as np
import pandas as pd
import pytest
from scipy.stats import binom, norm

from dashboard.power.compute import misdiagnosis
from dashboard.stats import funnel, power
from dashboard.stats.control_chart import PChart, p_chart
from dashboard.stats.one_group import chances


def test_the_smallest_rate_found_is_found_in_four_of_five_draws():
    """Simulated: 500 judged jobs of each of five technicians at 7 %, one at the stated rate."""
    table = pd.DataFrame({"technician": list("abcde"), "judged": [500] * 5, "wrong": [35] * 5})
    claimed = misdiagnosis(table)
    worth = 500 * 2000 // 2500
    hits = np.random.default_rng(2).binomial(worth, claimed["found"], 20_000)
    seen = [v == "different" for v in funnel.verdicts(hits / worth, [worth] * 20_000, 0.07)]
    assert np.mean(seen) == pytest.approx(0.8, abs=0.02)
    assert 0.09 < claimed["found"] < 0.16
    assert claimed["false_flags"] < 0.02  # five technicians, 0.2 % each


def test_more_jobs_find_smaller_differences():
    found = [
        misdiagnosis(pd.DataFrame({"judged": [n] * 4, "wrong": [n // 10] * 4}))["found"]
        for n in (50, 200, 1000)
    ]
    assert found[0] > found[1] > found[2] > 0.1


def test_nothing_is_said_of_one_technician_or_without_a_wrong_diagnosis():
    assert misdiagnosis(pd.DataFrame({"judged": [50], "wrong": [5]})) == {}
    assert misdiagnosis(pd.DataFrame({"judged": [50, 50], "wrong": [0, 0]})) == {}


def test_a_month_below_its_limit_is_a_binomial_tail():
    assert power.chance_below(0.5, 60, 0.5) == pytest.approx(binom.cdf(29, 60, 0.5))
    assert power.chance_below(0.5, 60, 0.51) == pytest.approx(binom.cdf(30, 60, 0.5))


@pytest.mark.parametrize(("jobs", "usual"), [(20, 0.67), (20, 0.85), (60, 0.67), (60, 0.85)])
def test_years_with_a_false_month_are_as_many_as_the_page_says(jobs: int, usual: float):
    """2,000 simulated years in which every month is judged by the other eleven; within 2.5 points."""
    sigma = np.sqrt(usual * (1 - usual) / np.array([jobs]))
    low, high = PChart(np.array([usual]), sigma, np.array([np.nan]), np.array([jobs])).limits()
    below = power.chance_below(usual, jobs, low[0])
    above = power.chance_below(1 - usual, jobs, 1 - high[0])
    claimed = power.any_of([below + above] * 12)
    generator, flagged = np.random.default_rng(3), 0
    for _ in range(2000):
        k = generator.binomial(jobs, usual, 12)
        low, high = p_chart(k, [jobs] * 12, [True] * 12).limits()
        flagged += ((k / jobs < low) | (k / jobs > high)).any()
    assert flagged / 2000 == pytest.approx(claimed, abs=0.025)


def test_one_meter_at_one_point_has_the_power_of_a_z_test():
    """One pair, no accuracy to exceed: the two-sided normal test at 5 %."""
    shift, error = 0.05, 0.02
    claimed = power.chance_of_meter_flag(shift, np.array([error]), np.zeros(1), 1)
    z = np.log1p(shift) / error
    by_formula = norm.sf(norm.ppf(0.975) - z) + norm.cdf(-norm.ppf(0.975) - z)
    assert claimed == pytest.approx(by_formula, abs=0.025)
    assert power.chance_of_meter_flag(0.0, np.array([error]), np.ones(1), 1) == 0


def test_a_part_of_few_returns_cannot_be_flagged():
    few = power.critical_chances([chances(0.5, 1), chances(0.5, 1)], np.ones(2))
    assert few.tolist() == [0, 0]
    many = [chances(4.0, 12)] * 10
    critical = power.critical_chances(many, np.ones(10))[0]
    assert 0 < 10 * critical <= 0.05
    found = [power.chance_of_part_flag(r, 0.07, 60, 60, critical) for r in (0.07, 0.2, 0.5)]
    assert found[0] < 0.02 < found[1] < found[2]
