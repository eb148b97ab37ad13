"""The difference of means over strata, against hand examples and statsmodels."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from scipy.stats import norm

from dashboard.stats.mean_difference import mean_difference, mean_interval
from dashboard.stats.stratified import Difference

EFFECT = -6.0  # minutes


def test_two_strata_by_hand():
    """Means 40 less 30 of weight 2·2/4, 70 less 50 of weight 1·1/2: (10·1 + 20·0.5) / 1.5."""
    found = mean_difference([80, 70], [3250, 4900], [2, 1], [60, 50], [1850, 2500], [2, 1])
    assert found.value == pytest.approx(20 / 1.5)
    assert found.jobs == 6


def test_what_cannot_be_compared_says_nothing():
    assert mean_difference([40], [1600], [1], [0], [0], [0]) is None
    assert mean_difference([40], [1600], [1], [30], [900], [1]) is None  # no freedom left
    assert mean_difference([80], [3200], [2], [60], [1800], [2]) is None  # nothing varies


def test_the_interval_of_one_mean_is_that_of_its_standard_error():
    values = np.array([30.0, 45.0, 60.0, 20.0])
    mean, low, high = mean_interval(values.sum(), (values**2).sum(), 4)
    assert mean == pytest.approx(values.mean())
    half = norm.ppf(0.975) * values.std(ddof=1) / 2
    assert (low, high) == pytest.approx((mean - half, mean + half))
    assert mean_interval(30.0, 900.0, 1) is None


def drawn(seed: int, strata: int = 12, jobs: int = 1600) -> pd.DataFrame:
    """One row per job: stratum, touched, after, minutes; other work after than before.

    Minutes are lognormal, long work varies more, and each side has its own level.
    """
    rng = np.random.default_rng(seed)
    touched, after = rng.integers(0, 2, jobs), rng.integers(0, 2, jobs)
    weights = np.where(after[:, None] == 1, np.arange(1, strata + 1), np.arange(strata, 0, -1))
    weights = weights / weights.sum(axis=1, keepdims=True)
    stratum = (rng.random(jobs)[:, None] > weights.cumsum(axis=1)).sum(axis=1)
    usual = 35 + 60 * stratum / strata
    noise = usual * (rng.lognormal(0, 0.5, jobs) - np.exp(0.125))
    minutes = usual + 4 * after + 3 * touched + EFFECT * touched * after + noise
    return pd.DataFrame(
        {"stratum": stratum, "touched": touched, "after": after, "minutes": minutes}
    )


def in_differences(jobs: pd.DataFrame) -> Difference:
    """The program's way: sums by stratum and period, for each side."""
    stratum, touched, after, minutes = (jobs[name].to_numpy() for name in jobs.columns)

    def sums(side: int, period: int) -> list[np.ndarray]:
        own, most = (touched == side) & (after == period), stratum.max() + 1
        amounts = (minutes[own], minutes[own] ** 2, None)
        return [np.bincount(stratum[own], amount, minlength=most) for amount in amounts]

    sides = [mean_difference(*sums(side, 1), *sums(side, 0)) for side in (1, 0)]
    return sides[0].less(sides[1])


@pytest.mark.parametrize("seed", range(4))
def test_difference_in_differences_is_that_of_statsmodels(seed: int):
    """Ordinary least squares with a level for each stratum on each side; errors HC1."""
    jobs = drawn(seed)
    found = in_differences(jobs)
    model = smf.ols("minutes ~ C(stratum):C(touched) + after + after:touched - 1", jobs).fit(
        cov_type="HC1"
    )
    assert found.value == pytest.approx(model.params["after:touched"], abs=1e-8)
    low, high = model.conf_int().loc["after:touched"]
    assert found.high - found.low == pytest.approx(high - low, rel=0.01)


def test_the_interval_covers_the_true_effect():
    """500 drawn shops of 1,600 jobs with 12 strata and with 60; of 1,500 it was 94 and 95%."""
    for strata in (12, 60):
        covered = [
            found.low <= EFFECT <= found.high
            for seed in range(500)
            for found in [in_differences(drawn(5000 + seed, strata))]
        ]
        assert 0.92 <= np.mean(covered) <= 0.975, strata
