"""Limits of a count and of observed over expected, against published values."""

import numpy as np
import pytest
from scipy.stats import poisson

from dashboard.stats.observed_expected import (
    exact_limits,
    observed_over_expected,
    poisson_limits,
)
from tests.references.chance import BYAR, EXACT_POISSON, RATIOS, RATIOS_EXPECTED


@pytest.mark.parametrize("count", EXACT_POISSON)
def test_exact_limits_are_those_of_the_table(count: int):
    low, high = EXACT_POISSON[count]
    assert exact_limits(count) == pytest.approx((low, high), abs=5.1e-4)  # digits of the table


@pytest.mark.parametrize(("count", "confidence", "low", "high"), BYAR)
def test_byars_limits_are_the_published_ones(count, confidence, low, high):
    assert poisson_limits(count, confidence) == pytest.approx((low, high), abs=5.1e-7)


@pytest.mark.parametrize(("observed", "ratio", "low", "high"), RATIOS)
def test_the_standardised_ratio_is_the_published_one(observed, ratio, low, high):
    found = observed_over_expected(observed, RATIOS_EXPECTED)
    assert (found.value, found.low, found.high) == pytest.approx((ratio, low, high), abs=5.1e-7)


def test_under_five_the_limits_are_exact():
    """4 observed, 3.3 expected: exact .330 to 3.104 (OpenEpi's documentation, from memory)."""
    found = observed_over_expected(4, 3.3)
    assert (found.low, found.high) == pytest.approx((0.330, 3.104), abs=5e-4)
    assert observed_over_expected(0, 2.0).low == 0


def test_nothing_expected_gives_no_ratio():
    assert observed_over_expected(0, 0.0) is None


def test_a_negative_count_is_refused():
    with pytest.raises(ValueError, match="-1"):
        poisson_limits(-1)


@pytest.mark.parametrize("mean", [1.0, 3.0, 8.0, 40.0])
def test_the_limits_cover_what_they_claim(mean: float):
    """Coverage summed over the whole distribution: exact, so no seed. Byar may fall 1 % short."""
    counts = np.arange(int(mean + 12 * mean**0.5) + 12)
    covered = [low <= mean <= high for low, high in map(poisson_limits, counts.tolist())]
    assert poisson.pmf(counts, mean)[covered].sum() >= 0.94
