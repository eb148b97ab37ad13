"""More of Montgomery's charts, and how often each run rule cries wolf."""

import numpy as np
import pytest

from dashboard.stats.control_chart import p_chart, signals
from tests.references import chance
from tests.references import month_charts as reference
from tests.stats.textbook_chart import textbook_chart

BEYOND = "a point beyond 3 sigma"


def test_the_cans_without_the_two_samples_that_were_explained():
    """Limits from the other 28 samples; then sample 21 is outside too."""
    is_baseline = [i not in chance.CANS_CHART["outside"] for i in range(1, 31)]
    chart = textbook_chart(chance.CANS, [50] * 30, is_baseline)
    centre, sigma = chart.centre[0], chart.sigma[0]
    assert (centre, centre - 3 * sigma, centre + 3 * sigma) == pytest.approx(
        reference.CANS_WITHOUT_TWO, abs=5e-5 + 1e-9
    )
    z = (np.array(chance.CANS) / 50 - chart.centre) / chart.sigma
    outside = [i for i, names in enumerate(signals(z), start=1) if BEYOND in names]
    assert sorted({*outside} - {*chance.CANS_CHART["outside"]}) == reference.CANS_ALSO_OUTSIDE


def test_the_cans_after_the_machine_was_adjusted():
    """24 later samples: the lower limit would be -.0224 and stands at 0."""
    chart = textbook_chart(reference.CANS_LATER, [50] * 24, [True] * 24)
    low, _ = chart.limits()
    centre, lowest, highest = reference.CANS_LATER_CHART
    assert chart.centre[0] == pytest.approx(centre, abs=5e-5 + 1e-9)
    assert chart.centre[0] + 3 * chart.sigma[0] == pytest.approx(highest, abs=5e-5 + 1e-9)
    assert low[0] == lowest


def test_the_lower_limits_of_the_purchase_orders():
    low, _ = textbook_chart(chance.ORDERS, chance.ORDERS_N, [True] * 25).three_sigma()
    for n, limit in reference.ORDERS_LOW.items():
        assert max(low[chance.ORDERS_N.index(n)], 0) == pytest.approx(limit, abs=5e-5 + 1e-9)


def test_the_same_month_over_and_over_has_no_signal():
    assert not any(signals([0.0] * 30, [0.8] * 30))


def test_one_month_and_none():
    assert signals([]) == []
    assert signals([4.0]) == [[BEYOND]]
    chart = textbook_chart([3], [4], [True])
    assert chart.three_sigma()[0].tolist() == [pytest.approx(0.75 - 3 * (3 / 64) ** 0.5)]
    assert chart.limits()[1].tolist() == [1]


def test_each_rule_cries_wolf_as_rarely_as_arithmetic_says():
    """20,000 months in control. Overlapping windows: the share has up to three times the binomial
    standard error, hence a tolerance of six of them.
    """
    z = np.random.default_rng(12).standard_normal(20_000)
    # in pieces with the eight months before each, as a rule looks back no further
    pieces = [z[max(start - 8, 0) : start + 1000] for start in range(0, len(z), 1000)]
    fired = [names for piece in pieces for names in signals(piece)[-1000:]]
    for name, expected in reference.FALSE_ALARMS.items():
        share = sum(name in names for names in fired) / len(z)
        assert share == pytest.approx(expected, abs=6 * (expected / len(z)) ** 0.5), name


def test_uneven_months_that_differ_by_chance_alone_seldom_leave_the_limits():
    """200 shops of 24 months with 10-80 jobs, rate .8: under the .27 % of normal values.

    Fewer, as limits only ever widen and few jobs seldom pass the upper one.
    """
    generator = np.random.default_rng(4)
    outside = 0
    for _ in range(200):
        n = generator.integers(10, 81, 24)
        k = generator.binomial(n, 0.8)
        low, high = p_chart(k, n, [True] * 12 + [False] * 12).limits()
        outside += ((k / n < low) | (k / n > high)).sum()
    assert outside / (200 * 24) < 0.0027
