"""Intervals by whole groups: Efron's law school, exact enumeration, and coverage."""

from itertools import product

import numpy as np
import pytest

from dashboard.stats.cluster_bootstrap import cluster_draws, cluster_interval

# Efron & Tibshirani 1993, law school data, 15 schools (data as copied in public code; r = .776)
LSAT = (576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594)
GPA = (3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96)
SCHOOLS = [[pair] for pair in zip(LSAT, GPA, strict=True)]  # one school = one group of one row
# the same book, mouse data, treated group: ideal bootstrap standard error of the mean 23.36
TREATED = (94, 197, 16, 38, 99, 141, 23)


def correlation(rows: np.ndarray) -> float:
    """Return the correlation of two columns."""
    return float(np.corrcoef(rows[:, 0], rows[:, 1])[0, 1])


def test_the_law_school():
    """r .776, SE .13, percentile interval .46 to .96, BCa .33 to .94 (two digits, memory).

    Tolerance .02: the ends of 6,000 draws scatter by about .01.
    """
    assert correlation(np.array(SCHOOLS)[:, 0]) == pytest.approx(0.776, abs=5e-4)
    draws = cluster_draws(SCHOOLS, correlation, draws=6000)
    assert draws.std() == pytest.approx(0.13, abs=0.01)
    assert np.quantile(draws, (0.025, 0.975)) == pytest.approx((0.46, 0.96), abs=0.02)
    found = cluster_interval(SCHOOLS, correlation, draws=6000)
    assert (found.low, found.high) == pytest.approx((0.33, 0.94), abs=0.02)


def test_the_standard_error_of_the_mouse_mean():
    """23.36, exact with all resamples; .6 is three standard errors with 6,000."""
    draws = cluster_draws([[value] for value in TREATED], np.mean, draws=6000)
    assert draws.std() == pytest.approx(23.36, abs=0.6)


def test_draws_have_the_distribution_of_all_resamples_of_groups():
    """Groups of unequal size, every one of the 27 resamples; .03: four standard errors of 5,000."""
    groups = [[1, 1, 1], [0], [1, 0]]
    exact = [np.mean(np.concatenate(chosen)) for chosen in product(groups, repeat=3)]
    draws = cluster_draws(groups, np.mean, draws=5000)
    for value in set(exact):
        share = np.mean(np.isclose(draws, value))
        assert share == pytest.approx(exact.count(value) / len(exact), abs=0.03)


def test_the_same_seed_gives_the_same_interval():
    groups = [[1, 2], [4], [3, 3, 3]]
    assert cluster_interval(groups, np.mean, draws=200) == cluster_interval(
        groups, np.mean, draws=200
    )


def test_groups_that_are_all_alike_have_an_interval_without_width():
    found = cluster_interval([[2, 2], [2], [2]], np.mean, draws=100)
    assert (found.low, found.high) == (2, 2)


@pytest.mark.parametrize("groups", [[], [[1, 2, 3]]])
def test_fewer_than_two_groups_tell_no_spread(groups):
    found = cluster_interval(groups, np.mean)
    assert np.isnan(found.low)
    assert np.isnan(found.high)
    assert cluster_draws([], np.mean).shape == (0,)


@pytest.mark.parametrize(("groups", "least"), [(8, 0.81), (40, 0.88)])
def test_the_interval_holds_the_true_mean_by_groups(groups, least):
    """300 shops, rows of a group alike: few groups fall short, and single rows would far more.

    Least: .87 and .93 (1,500 other shops) less three standard errors of a share in 300.
    """
    held = by_row = 0
    for seed in range(300):
        generator = np.random.default_rng(seed)
        means = generator.normal(0, 1, groups)
        rows = [mean + generator.normal(0, 0.5, 5) for mean in means]
        found = cluster_interval(rows, lambda drawn: drawn.mean(), draws=200, seed=seed)
        held += found.low <= 0 <= found.high
        every = np.concatenate(rows)
        by_row += abs(every.mean()) <= 1.96 * every.std(ddof=1) / len(every) ** 0.5
    assert held / 300 >= least
    assert by_row / 300 < 0.75
