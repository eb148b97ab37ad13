"""How often the limits of a count hold its true mean, summed over every count."""

import numpy as np
import pytest

from dashboard.stats.observed_expected import exact_limits, poisson_limits
from tests.stats import coverage

MEANS = np.arange(0.05, 80, 0.05)


@pytest.mark.parametrize("limits", [poisson_limits, exact_limits])
def test_limits_of_a_count_hold_its_mean_at_least_95_times_in_100(limits):
    """Exact ones by construction (Garwood 1936); Byar's, from 5 on, nowhere short up to 80.

    The price is width: 96 % on average. Counts to 160 hold all chance but 1e-14 at a mean of 80.
    """
    low, high = np.array([limits(count) for count in range(161)]).T
    covered = np.array([coverage.of_a_count(low, high, mean) for mean in MEANS])
    assert covered.min() >= 0.95
    assert covered.mean() == pytest.approx(0.96, abs=0.005)


def test_byars_limits_are_the_exact_ones_to_a_hundredth_from_5_on():
    """What the approximation costs: .012 of a job at 5, less beyond (computed)."""
    for count in (5, 10, 20, 50, 100):
        assert poisson_limits(count) == pytest.approx(exact_limits(count), abs=0.0125)
