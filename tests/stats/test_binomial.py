"""The binomial distribution from special functions against scipy.stats.binom."""

import numpy as np
import pytest
from scipy.stats import binom

from dashboard.stats import binomial

N = np.array([1, 2, 5, 17, 80, 1000, 1_000_000])[:, None, None]
RATES = np.array([0.0, 1e-6, 0.05, 0.5, 0.9, 1.0])[None, :, None]
SHARES = np.array([-0.1, 0.0, 0.04, 0.5, 0.93, 1.0, 1.2])[None, None, :]
COUNTS = np.floor(N * SHARES)


def test_chances_are_those_of_scipy_stats():
    for ours, theirs in (
        (binomial.chance_at_most, binom.cdf),
        (binomial.chance_above, binom.sf),
    ):
        assert ours(COUNTS, N, RATES) == pytest.approx(theirs(COUNTS, N, RATES), 1e-9, 1e-14)
    inside = np.clip(COUNTS, 0, N)
    assert binomial.chance_of(inside, N, RATES) == pytest.approx(
        binom.pmf(inside, N, RATES), 1e-6, 1e-14
    )


def test_without_a_number_there_is_no_chance():
    assert np.isnan(binomial.chance_at_most(1, np.nan, 0.5))


@pytest.mark.parametrize("chance", [0.001, 0.025, 0.5, 0.999])
def test_the_smallest_count_above_a_chance_is_the_quantile(chance: float):
    n, rate = N[:, :, 0], RATES[:, :, 0]
    quantile = binom.ppf(chance, n, rate)
    at_most = binom.cdf(quantile, n, rate)
    expected = np.where(at_most > chance, quantile, quantile + 1)
    assert binomial.smallest_above(chance, n, rate).tolist() == expected.tolist()
