"""Funnel limits against computed values, and verdicts against the exact tails of chance."""

import numpy as np
import pytest
from scipy.stats import binom

from dashboard.stats.funnel import DIFFERENT, LOOK, control_limit, limits, verdict, verdicts
from tests.references.chance import FUNNEL


@pytest.mark.parametrize(("rate", "n"), FUNNEL)
def test_the_interpolated_limit_is_spiegelhalters(rate: float, n: int):
    tails = (0.001, 0.025, 0.975, 0.999)
    found = [float(control_limit(rate, n, tail)) for tail in tails]
    assert found == pytest.approx(FUNNEL[rate, n], abs=5.1e-6)


def test_the_limit_of_50_jobs_by_hand():
    """Shop rate .8: r = 34, share .354694, limit (34 - .354694) / 50; computed by hand."""
    assert float(control_limit(0.8, 50, 0.025)) == pytest.approx((34 - 0.354694) / 50, abs=1e-7)


@pytest.mark.parametrize("shop_rate", [0.1, 0.5, 0.66, 0.95])
@pytest.mark.parametrize("n", [1, 5, 12, 40, 300])
def test_a_count_outside_a_limit_is_rarer_than_the_limit_says(shop_rate: float, n: int):
    """Each side of the 95 % limits holds at most 2.5 % of chance, of the 99.8 % limits .1 %."""
    counts = np.arange(n + 1)
    chances = binom.pmf(counts, n, shop_rate)
    verdicts = np.array([verdict(count / n, n, shop_rate) for count in counts])
    low = counts / n < shop_rate
    for side in (low, ~low):
        assert chances[side & (verdicts != "inside")].sum() <= LOOK + 1e-12
        assert chances[side & (verdicts == "different")].sum() <= DIFFERENT + 1e-12


def test_five_of_five_is_no_difference_where_four_of_five_is_usual():
    assert verdict(1.0, 5, 0.8) == "inside"


def test_a_group_far_below_is_different_and_one_a_little_below_is_worth_a_look():
    assert verdict(0.4, 100, 0.66) == "different"
    assert verdict(0.55, 100, 0.66) == "look"
    assert verdict(0.62, 100, 0.66) == "inside"


@pytest.mark.parametrize(("n", "shop_rate"), [(0, 0.5), (10, 0.0), (10, 1.0)])
def test_there_is_no_verdict_without_jobs_or_without_chance(n: int, shop_rate: float):
    assert verdict(0.5, n, shop_rate) is None


def test_limits_close_in_on_the_shop_rate_with_more_jobs():
    low, high = limits(0.66, [10, 100, 1000, 10_000], LOOK)
    assert (np.diff(low) > 0).all()
    assert (np.diff(high) < 0).all()
    assert high[-1] - low[-1] == pytest.approx(2 * 1.96 * (0.66 * 0.34 / 10_000) ** 0.5, rel=0.02)


def test_each_is_held_against_a_rate_of_its_own():
    rates, jobs, shop = [0.4, 0.55, 0.5, 0.4], [100, 100, 0, 100], [0.66, 0.66, 0.66, 1.0]
    one_by_one = [verdict(*each) for each in zip(rates, jobs, shop, strict=True)]
    assert verdicts(rates, jobs, shop) == one_by_one == ["different", "look", None, None]
