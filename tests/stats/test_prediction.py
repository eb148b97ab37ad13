"""Normal ranges of counts and of monthly figures, against a second library and a worked example."""

import pytest
from scipy.stats import betabinom

from dashboard.stats.individuals_chart import normal_range
from dashboard.stats.prediction import DIFFERENT, LOOK, count_limits


@pytest.mark.parametrize("tail", [LOOK, DIFFERENT])
@pytest.mark.parametrize(
    ("n", "hits", "jobs"), [(220, 210, 2763), (7, 9, 32), (30, 0, 40), (12, 12, 12), (1, 3, 50)]
)
def test_the_limits_are_quantiles_of_the_beta_binomial(n: int, hits: int, jobs: int, tail: float):
    """Reference: scipy.stats.betabinom, Jeffreys' prior (1/2, 1/2) added to the counts."""
    low, high = count_limits(n, hits, jobs, tail)
    reference = betabinom(n, hits + 0.5, jobs - hits + 0.5)
    assert reference.cdf(low - 1) <= tail < reference.cdf(low)
    assert reference.sf(high) <= tail < reference.sf(high - 1)


def test_no_jobs_have_no_range():
    assert count_limits(0, 5, 50, LOOK) == (0, 0)


def test_the_individuals_chart_of_the_handbook():
    """NIST/SEMATECH e-Handbook 6.3.2.2, flow rates of 10 batches; limits as printed there."""
    flows = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    usual, low, high = normal_range(flows)
    assert usual == pytest.approx(50.81)
    assert (low, high) == (pytest.approx(45.8159, abs=1e-3), pytest.approx(55.8041, abs=1e-3))


def test_fewer_than_six_months_give_no_range():
    assert normal_range([1.0, 2.0, 3.0, 4.0, 5.0]) is None
    assert normal_range([1.0, 2.0, 3.0, 4.0, 5.0, float("nan")]) is None
