"""Margin, profit per hour and the diagnosis fee, by arithmetic and by simulated jobs."""

from math import log

import numpy as np
import pytest
from pytest import approx

from dashboard.pricing.price import flat_rate
from dashboard.pricing.profit import (
    diagnosis_result,
    margin,
    profit_per_hour,
)
from dashboard.stats.durations.lognormal import MinutesFit
from tests.references import pricing as reference


def test_margin_is_not_markup():
    by_markup = reference.COST * (1 + reference.TARGET_MARGIN)
    assert by_markup == approx(reference.PRICE_BY_MARKUP, abs=0.005)
    assert margin(by_markup, reference.COST) == approx(reference.MARGIN_OF_MARKUP, abs=0.0005)
    price = flat_rate(reference.COST, reference.TARGET_MARGIN)
    assert margin(price, reference.COST) == approx(reference.TARGET_MARGIN)
    assert margin(0, 5) is None


def test_planning_by_the_median_loses_the_mean_breaks_even_and_p80_earns():
    """No margin asked, log sd 0.5. At the mean: nothing left; at P80: 1.5232 - 1.1331 medians."""
    fit = MinutesFit(log(60), 0.5)
    planned = {"median": fit.quantile_min(0.5)}
    planned |= {"mean": fit.mean_min, "P80": fit.quantile_min(0.8)}
    earned = profit_per_hour(planned, fit.mean_min, 100, 45, target_margin=0)
    assert earned["mean"].profit_per_hour == approx(0, abs=1e-9)
    assert earned["median"].profit_per_hour == approx((60 - fit.mean_min) / fit.mean_min * 100)
    assert earned["P80"].profit_per_hour == approx((1.5232 - 1.1331) / 1.1331 * 100, abs=0.05)


def test_profit_per_hour_is_what_many_simulated_jobs_leave():
    """Sum of profits over sum of hours of 200 000 jobs; tolerance 1 % for chance."""
    minutes = np.exp(np.random.default_rng(2).normal(log(60), 0.5, 200_000))
    fit = MinutesFit(log(60), 0.5)
    found = profit_per_hour({"P75": fit.quantile_min(0.75)}, fit.mean_min, 100, 45, 0.15, 5)["P75"]
    left = (found.price - 45 - minutes / 60 * 100).sum() / (minutes / 60).sum()
    assert found.profit_per_hour == approx(left, rel=0.01)
    assert found.price % 5 == 0


def test_a_credited_fee_is_earned_only_from_those_who_decline():
    """1 of 4 declines, fee 80, cost 90: kept 20; 70 left for 3 of 4 repairs."""
    found = diagnosis_result(80, 90, declined=1, diagnosed=4, is_credited=True)
    assert (found.fee_kept, found.open_cost) == (20, 70)
    assert found.carried_per_repair == approx(70 / 0.75)


def test_a_fee_that_is_not_credited_is_earned_from_all():
    found = diagnosis_result(80, 90, declined=1, diagnosed=4, is_credited=False)
    assert (found.fee_kept, found.open_cost) == (80, 10)
    assert found.carried_per_repair == approx(10 / 0.75)


def test_when_all_decline_no_repair_can_carry_anything():
    assert diagnosis_result(80, 90, 4, 4, True).carried_per_repair is None
    assert diagnosis_result(80, 90, 0, 0, True) is None


def test_impossible_counts_and_means_are_refused():
    with pytest.raises(ValueError, match="no more declined"):
        diagnosis_result(80, 90, 5, 4, True)
    with pytest.raises(ValueError, match="above 0"):
        profit_per_hour({}, 0, 100, 45, 0.1)
