"""The difference of shares over strata, against hand examples and statsmodels."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from statsmodels.stats.power import NormalIndPower
from statsmodels.stats.proportion import proportion_effectsize

from dashboard.stats.stratified import Difference, dispersion, months_to_see, risk_difference


def test_two_strata_by_hand():
    """Weights 10·20/30 and 30·10/40: (0.5 - 0.25)·6.667 + (0.4 - 0.3)·7.5, over 14.167."""
    found = risk_difference([5, 12], [10, 30], [5, 3], [20, 10])
    weights = [10 * 20 / 30, 30 * 10 / 40]
    assert found.value == pytest.approx((0.25 * weights[0] + 0.1 * weights[1]) / sum(weights))
    assert found.jobs == 70


def test_one_stratum_is_the_plain_difference_with_its_usual_error():
    """p1 - p0 with variance p1·q1/n1 + p0·q0/n0, which Sato's nears in one large stratum."""
    found = risk_difference([300], [1000], [200], [800])
    assert found.value == pytest.approx(0.05)
    assert found.variance == pytest.approx(0.3 * 0.7 / 1000 + 0.25 * 0.75 / 800, rel=0.001)


def test_a_stratum_with_one_side_says_nothing():
    assert risk_difference([5, 9], [10, 9], [5, 0], [20, 0]) == risk_difference(
        [5], [10], [5], [20]
    )
    assert risk_difference([3], [4], [0], [0]) is None


def test_certainty_is_never_claimed_of_few_jobs():
    found = risk_difference([10], [10], [10], [10])
    assert found.value == 0
    assert found.low < -0.05 < 0.05 < found.high


def drawn(seed: int, strata: int = 12, effect: float = -0.08, jobs: int = 1600) -> pd.DataFrame:
    """One row per job: stratum, touched, after, hit; other work after than before."""
    rng = np.random.default_rng(seed)
    touched, after = rng.integers(0, 2, jobs), rng.integers(0, 2, jobs)
    weights = np.where(after[:, None] == 1, np.arange(1, strata + 1), np.arange(strata, 0, -1))
    weights = weights / weights.sum(axis=1, keepdims=True)
    stratum = (rng.random(jobs)[:, None] > weights.cumsum(axis=1)).sum(axis=1)
    chance = 0.15 + 0.5 * stratum / strata + 0.06 * after + effect * touched * after
    return pd.DataFrame(
        {"stratum": stratum, "touched": touched, "after": after, "hit": rng.random(jobs) < chance}
    ).astype(int)


def in_differences(jobs: pd.DataFrame) -> Difference:
    """The program's way: sums by stratum and period, for each side."""
    stratum, touched, after, hit = (jobs[name].to_numpy() for name in jobs.columns)

    def sums(side: int, period: int) -> tuple[np.ndarray, np.ndarray]:
        own, most = (touched == side) & (after == period), stratum.max() + 1
        return (
            np.bincount(stratum[own], hit[own], minlength=most),
            np.bincount(stratum[own], minlength=most),
        )

    sides = [risk_difference(*sums(side, 1), *sums(side, 0)) for side in (1, 0)]
    return sides[0].less(sides[1])


@pytest.mark.parametrize("seed", range(4))
def test_difference_in_differences_is_that_of_statsmodels(seed: int):
    """Ordinary least squares with a level for each stratum on each side; errors HC1."""
    jobs = drawn(seed)
    found = in_differences(jobs)
    model = smf.ols("hit ~ C(stratum):C(touched) + after + after:touched - 1", jobs).fit(
        cov_type="HC1"
    )
    assert found.value == pytest.approx(model.params["after:touched"], abs=1e-9)
    low, high = model.conf_int().loc["after:touched"]
    assert found.high - found.low == pytest.approx(high - low, rel=0.03)


def test_the_interval_covers_the_true_effect():
    """600 drawn shops of 1,600 jobs, and the same with 60 strata of few jobs."""
    for strata in (12, 60):
        covered = [
            found.low <= -0.08 <= found.high
            for seed in range(600)
            for found in [in_differences(drawn(1000 + seed, strata))]
        ]
        assert 0.93 <= np.mean(covered) <= 0.975, strata


@pytest.mark.parametrize(
    ("p1", "p2", "power", "jobs"),
    [
        (0.10, 0.05, 0.90, 578),  # Pocock 1983, Clinical Trials, chapter 9, worked example
        (0.25, 0.40, 0.80, 149.1),  # the same formula by hand: 7.849 (0.1875 + 0.24) / 0.15²
    ],
)
def test_jobs_needed_are_those_of_the_textbook(p1: float, p2: float, power: float, jobs: float):
    """Equal groups that grow by one job a month. The figures are from memory."""
    monthly = p1 * (1 - p1) + p2 * (1 - p2)
    assert months_to_see(abs(p1 - p2), 0.0, monthly, power) == pytest.approx(jobs, rel=0.001)


def test_jobs_needed_are_those_of_statsmodels():
    """Cohen's h for small differences is the same test: within 2%."""
    wanted = NormalIndPower().solve_power(proportion_effectsize(0.30, 0.25), power=0.8, alpha=0.05)
    monthly = 0.30 * 0.70 + 0.25 * 0.75
    assert months_to_see(0.05, 0.0, monthly) == pytest.approx(wanted, rel=0.02)


def test_too_few_jobs_before_are_never_enough():
    assert months_to_see(0.05, (0.05 / 2.8) ** 2, 0.001) == np.inf


def test_months_that_vary_by_chance_alone_widen_nothing():
    rng = np.random.default_rng(3)
    hits = rng.binomial(100, 0.4, 400)
    assert dispersion([hits], [np.full(400, 40.0)], [np.full(400, 24.0)]) == pytest.approx(
        1, abs=0.2
    )
    wild = rng.binomial(100, rng.uniform(0.2, 0.6, 400))
    assert dispersion([wild], [np.full(400, 40.0)], [np.full(400, 24.0)]) > 4
    assert dispersion([wild[:4]], [np.full(4, 40.0)], [np.full(4, 24.0)]) == 1.0
