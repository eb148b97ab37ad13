"""The p-chart with its run rules against the examples of the textbooks."""

import numpy as np
import pytest
from scipy.stats import binom

from dashboard.stats.control_chart import laney_sigma, p_chart, signals
from tests.references import chance
from tests.stats.textbook_chart import textbook_chart


def places(values: list[float], name: str) -> list[int]:
    """Return the 1-based places where a rule's signal ends."""
    return [i for i, fired in enumerate(signals(values), start=1) if name in fired]


def test_a_month_of_the_baseline_is_judged_by_the_others():
    """By hand: 10, 20, 30 of 100; without the first (20 + 30) / 200, and so on."""
    chart = p_chart([10, 20, 30], [100] * 3, [True] * 3)
    assert chart.centre.tolist() == pytest.approx([0.25, 0.2, 0.15])
    assert chart.sigma[0] == pytest.approx(0.0433, abs=5e-5)
    alone = p_chart([10], [100], [True])
    assert np.isnan(alone.centre).all()


@pytest.mark.parametrize("name", chance.RULES)
def test_run_rules_fire_where_published(name: str):
    values, ends = chance.RULES[name]
    assert places(values, name) == ends


def test_the_orange_juice_cans():
    n = [50] * 30
    chart = p_chart(chance.CANS, n, [True] * 11 + [False] * 19)
    assert np.isnan(chart.sigma_z).all()  # eleven baseline months show no spread
    everything = textbook_chart(chance.CANS, n, [True] * 30)
    assert everything.centre[0] == pytest.approx(chance.CANS_CHART["centre"], abs=5e-5)
    assert laney_sigma(chance.CANS, n) == pytest.approx(chance.CANS_SIGMA_Z, abs=5e-7)
    low = everything.centre[0] - 3 * everything.sigma[0]
    high = everything.centre[0] + 3 * everything.sigma[0]
    assert low == pytest.approx(chance.CANS_CHART["low"], abs=5e-5)
    assert high == pytest.approx(chance.CANS_CHART["high"], abs=5e-5)
    z = (np.array(chance.CANS) / 50 - everything.centre) / everything.sigma
    assert places(z, "a point beyond 3 sigma") == chance.CANS_CHART["outside"]


def test_widened_limits_of_the_cans():
    """Laney: .2313 + 3 × 1.660867 × sigma = .528472, the lower one clipped to 0 (computed)."""
    chart = textbook_chart(chance.CANS, [50] * 30, [True] * 30)
    assert chart.three_sigma()[1][0] == pytest.approx(0.528472, abs=5e-7)
    assert chart.limits()[0][0] == 0


def test_purchase_orders_of_unequal_size():
    chart = textbook_chart(chance.ORDERS, chance.ORDERS_N, [True] * 25)
    assert chart.centre[0] == 234 / 2450
    assert chart.sigma_z[0] == pytest.approx(chance.ORDERS_SIGMA_Z, abs=5e-7)
    _, high = chart.three_sigma()
    for n, limit in chance.ORDERS_HIGH.items():  # calm months never narrow the limits
        assert high[chance.ORDERS_N.index(n)] == pytest.approx(limit, abs=5e-5)
    z = (np.array(chance.ORDERS) / np.array(chance.ORDERS_N) - chart.centre) / chart.unit
    assert places(z, "a point beyond 3 sigma") == [11]


def test_bruised_peaches_are_in_control():
    chart = textbook_chart(chance.PEACHES, chance.PEACHES_N, [True] * 25)
    assert chart.centre[0] == 1544 / 8000
    for n, (low, high) in chance.PEACHES_LIMITS.items():
        sigma = chart.sigma[chance.PEACHES_N.index(n)]
        assert chart.centre[0] - 3 * sigma == pytest.approx(low, abs=5e-5)
        assert chart.centre[0] + 3 * sigma == pytest.approx(high, abs=5e-5)
    z = (np.array(chance.PEACHES) / np.array(chance.PEACHES_N) - chart.centre) / chart.sigma
    assert places(z, "a point beyond 3 sigma") == []


def test_a_limit_lies_where_chance_is_as_rare_as_three_sigma():
    """At 85% and 20 jobs three sigma is 12.2: 12 fixed come in 0.6% of months (scipy's binom)."""
    chart = textbook_chart([17] * 2, [20] * 2, [True] * 2)
    low, _ = chart.three_sigma()
    assert 12 / 20 < low[0] < 13 / 20
    assert binom.cdf(12, 20, 0.85) > 0.00135 * 4
    rare = [k for k in range(21) if binom.cdf(k, 20, 0.85) <= 0.00135]
    below = [k for k in range(21) if k / 20 < chart.limits()[0][0]]
    assert below == rare
    for rate, z in zip((0.85, 0.5), chart.z([0.85, 0.5]), strict=True):
        assert (z < -3) == (rate < chart.limits()[0][0])


def test_no_baseline_gives_no_chart():
    assert p_chart([], [], []) is None
    assert p_chart([3], [5], [False]) is None


def test_a_shop_that_never_fails_has_limits_without_width():
    low, high = p_chart([5, 6], [5, 6], [True, True]).limits()
    assert low.tolist() == high.tolist() == [1, 1]


def test_a_point_on_the_centre_line_breaks_a_run():
    assert places([0.5] * 8 + [0.0] + [0.5] * 8, "9 in a row on one side") == []


def test_false_alarms_are_as_rare_as_stated():
    """Fixed seed, 20,000 months in control: the first rule fires in about .27 % of them."""
    z = np.random.default_rng(3).standard_normal(20_000)
    fired = signals(z[:4000])
    alarms = sum("a point beyond 3 sigma" in names for names in fired)
    assert 4 <= alarms <= 20  # 4,000 × .0027 = 10.8
