"""Bootstrap medians and intervals, against published and enumerated values."""

from itertools import product

import numpy as np
import pytest

from dashboard.stats.bootstrap import median_draws, percentile_interval

# Efron & Tibshirani, An Introduction to the Bootstrap (1993), mouse data, treated group
TREATED = (94, 197, 16, 38, 99, 141, 23)


def test_the_standard_error_of_the_median_is_that_of_efron_and_tibshirani():
    """Ideal bootstrap SE 37.83 (their table, recalled from memory and exact by enumeration).

    Tolerance 0.5: three standard errors of a standard deviation over 60,000 draws.
    """
    draws = median_draws(TREATED, np.random.default_rng(3), 60_000)
    assert draws.std() == pytest.approx(37.83, abs=0.5)


@pytest.mark.parametrize("values", [(1, 2, 4), (1, 2, 4, 8)])
def test_medians_have_the_distribution_of_resampling(values):
    """Every resample enumerated; tolerance 0.01: four standard errors of a share in 40,000."""
    exact = [float(np.median(sample)) for sample in product(values, repeat=len(values))]
    draws = median_draws(values, np.random.default_rng(5), 40_000)
    for value in set(exact):
        share = np.mean(np.isclose(draws, value))
        assert share == pytest.approx(exact.count(value) / len(exact), abs=0.01)


def test_one_value_gives_itself_and_none_gives_nothing():
    generator = np.random.default_rng(1)
    assert set(median_draws([7], generator, 20)) == {7}
    assert len(median_draws([], generator)) == 0
    assert percentile_interval([]) is None


def test_the_interval_is_the_middle_of_the_draws():
    assert percentile_interval(np.arange(1001)) == pytest.approx((25, 975))
