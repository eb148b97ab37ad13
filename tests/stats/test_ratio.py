"""A ratio of sums: by hand, against a regression through the origin, and how often it is held."""

import numpy as np
import pytest
import statsmodels.api as sm

from dashboard.stats.ratio import ratio_of_sums


def test_the_ratio_and_its_error_by_hand():
    """Above 2, 4, 6, 8, 10 and below 1, 2, 3, 4, 6: 30 / 16; residuals 0.125, .25, .375, .5, -1.25."""
    found = ratio_of_sums([2, 4, 6, 8, 10], [1, 2, 3, 4, 6])
    squares = 0.125**2 + 0.25**2 + 0.375**2 + 0.5**2 + 1.25**2
    error = np.sqrt(squares * 5 / 4) / 16
    assert found.value == 30 / 16
    assert found.high - found.value == pytest.approx(2.776445 * error, rel=1e-6)  # t of 4 degrees


def test_the_error_is_the_robust_one_of_a_weighted_regression_through_the_origin():
    """With weights 1 / x the slope of y on x is sum(y) / sum(x); HC1 is its robust variance."""
    generator = np.random.default_rng(3)
    hours = generator.lognormal(0.5, 0.4, 60)
    money = 30 * hours + generator.normal(0, 60, 60)
    fit = sm.WLS(money, hours, weights=1 / hours).fit(cov_type="HC1", use_t=True)
    found = ratio_of_sums(money, hours)
    assert found.value == pytest.approx(fit.params[0])
    assert (found.low, found.high) == pytest.approx(tuple(fit.conf_int()[0]))


def test_few_jobs_have_no_range_and_no_hours_no_ratio():
    assert ratio_of_sums([1, 2], [1, 1]).low is None
    assert ratio_of_sums([], []) is None


@pytest.mark.slow
@pytest.mark.parametrize(("jobs", "least"), [(15, 0.90), (100, 0.93)])
def test_the_range_holds_the_true_ratio_nearly_as_often_as_it_says(jobs: int, least: float):
    """Skewed hours, and money that is 20 an hour plus what varies by job."""
    generator = np.random.default_rng(4)
    held = 0
    for _ in range(2000):
        hours = generator.lognormal(0.5, 0.4, jobs)
        money = 20 * hours + generator.gamma(2, 40, jobs) - 80
        found = ratio_of_sums(money, hours)
        held += found.low <= 20 <= found.high
    assert held / 2000 >= least
