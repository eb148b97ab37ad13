"""Cohen's kappa against printed tables and statsmodels."""

import numpy as np
import pytest
from pytest import approx
from statsmodels.stats.inter_rater import cohens_kappa as reference_kappa

from dashboard.stats.kappa import cohens_kappa
from tests.references.diagnosis import KAPPA


@pytest.mark.parametrize("table, kappa, digits, error, interval", KAPPA)
def test_printed_kappa(table, kappa, digits, error, interval):
    found = cohens_kappa(table)
    assert found.kappa == approx(kappa, abs=0.5 * 10**-digits + 1e-9)  # half the last digit
    assert found.n == sum(map(sum, table))
    if error:
        assert found.high - found.kappa == approx(1.96 * error, abs=0.001)
        assert (found.low, found.high) == approx(interval, abs=0.005)


def test_error_and_interval_are_those_of_statsmodels():
    rng = np.random.default_rng(1)
    for size in (2, 3, 5):
        table = rng.integers(0, 20, (size, size))
        found, wanted = cohens_kappa(table), reference_kappa(table)
        assert found.kappa == approx(wanted.kappa)
        assert (found.low, found.high) == approx((wanted.kappa_low, wanted.kappa_upp))


def test_the_interval_holds_the_true_kappa_in_about_95_of_100_shops():
    """Two judgements, kappa 0.5: true table .375 / .125; 60 jobs; 2.5 points for chance and n."""
    rng = np.random.default_rng(2)
    tables = rng.multinomial(60, [0.375, 0.125, 0.125, 0.375], size=1000).reshape(-1, 2, 2)
    held = [found.low <= 0.5 <= found.high for found in map(cohens_kappa, tables)]
    assert np.mean(held) == approx(0.95, abs=0.025)


def test_a_few_jobs_that_agree_have_no_interval():
    found = cohens_kappa([[3, 0], [0, 2]])
    assert (found.kappa, found.low, found.high) == (approx(1), None, None)


@pytest.mark.parametrize("table, observed, n", [([], None, 0), ([[0]], None, 0), ([[7]], 1, 7)])
def test_what_chance_alone_explains_has_no_kappa(table, observed, n):
    found = cohens_kappa(table)
    assert (found.kappa, found.low, found.observed, found.n) == (None, None, observed, n)


@pytest.mark.parametrize("table", [[[1, 2]], [[1, -1], [0, 1]], [1, 2]])
def test_a_table_that_is_not_one_of_counts_is_refused(table):
    with pytest.raises(ValueError, match="wanted a square one"):
        cohens_kappa(table)
