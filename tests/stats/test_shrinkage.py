"""The beta-binomial fit against the rat tumours, and its honest fallback."""

import numpy as np
import pytest
from scipy.stats import beta

from dashboard.stats.shrinkage import fit, shrink
from tests.references.chance import RAT_FIT, RAT_POSTERIOR, RAT_TUMOURS, RATS


def test_the_fit_of_the_rat_tumours_is_the_published_one():
    spread = fit(RAT_TUMOURS, RATS)
    assert (spread.a, spread.b) == pytest.approx(RAT_FIT, rel=1e-3)
    assert spread.mean == pytest.approx(0.142292, abs=5e-6)


@pytest.mark.parametrize(("hits", "n"), RAT_POSTERIOR)
def test_posterior_means_of_the_rat_tumours(hits: int, n: int):
    found = shrink(hits, n, fit(RAT_TUMOURS, RATS), 0.142292)
    assert found.rate == pytest.approx(RAT_POSTERIOR[hits, n], rel=1e-3)
    assert found.low < found.rate < found.high


def test_groups_that_differ_by_chance_alone_give_no_spread():
    assert fit([10, 20, 30], [20, 40, 60]) is None  # all exactly one half
    assert fit([10, 11, 9, 10], [20, 20, 20, 20]) is None  # closer together than chance makes them


@pytest.mark.parametrize(
    ("hits", "n"),
    [([5], [10]), ([], []), ([0, 0], [10, 20]), ([10, 20], [10, 20]), ([3, 0], [9, 0])],
)
def test_one_group_or_no_variety_gives_no_spread(hits: list[int], n: list[int]):
    assert fit(hits, n) is None


def test_the_fewer_jobs_the_closer_to_the_mean():
    spread = fit([30, 150, 40, 170], [100, 200, 100, 200])
    small, large = shrink(1, 2, spread, 0.5), shrink(100, 200, spread, 0.5)
    assert abs(small.rate - spread.mean) < abs(large.rate - spread.mean)
    assert small.high - small.low > large.high - large.low


def test_the_interval_covers_nearly_what_it_claims():
    """Fixed seed; 10 groups. The spread counts as known, hence a little under 95 %, as documented."""
    rng, covered, intervals = np.random.default_rng(5), 0, 0
    jobs = np.array([20, 40, 60, 80, 100, 120, 150, 200, 250, 300])
    for _ in range(60):
        rates = beta(20, 10).rvs(10, random_state=rng)
        hits = rng.binomial(jobs, rates)
        spread = fit(hits, jobs)
        if spread is None:
            continue
        for k, n, rate in zip(hits, jobs, rates, strict=True):
            found = shrink(k, n, spread, 0.66)
            covered += found.low <= rate <= found.high
            intervals += 1
    assert 0.90 <= covered / intervals <= 0.97
    assert intervals >= 500
