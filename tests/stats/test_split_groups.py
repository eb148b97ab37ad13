"""Two kinds of work among groups: against scipy's test, planted groups, and what chance alone gives."""

import numpy as np
import pytest
from scipy.stats import kruskal

from dashboard.stats.split_groups import split_groups


def drawn(seed: int, *typical: float, jobs: int = 12) -> list[np.ndarray]:
    """Return groups of lognormal minutes around their typical ones."""
    generator = np.random.default_rng(seed)
    return [generator.lognormal(np.log(minutes), 0.3, jobs) for minutes in typical]


def test_the_chance_is_that_of_the_kruskal_wallis_test():
    groups = drawn(1, 45, 50, 70)
    assert split_groups(groups).p_value == pytest.approx(kruskal(*groups).pvalue)


def test_planted_groups_are_parted_where_they_were_planted():
    split = split_groups(drawn(2, 45, 90, 45, 90, 45, jobs=20))
    assert split.quick == (0, 2, 4)
    assert split.slow == (1, 3)
    assert split.low <= 2 <= split.high
    assert split.p_value < 1e-6


def test_small_groups_are_not_compared_and_equal_times_say_nothing():
    assert split_groups([np.array([45.0] * 4), np.array([90.0] * 40)]) is None
    assert split_groups([np.array([45.0] * 9), np.array([45.0] * 9)]) is None


@pytest.mark.slow
def test_the_range_of_the_ratio_holds_one_where_all_groups_are_alike():
    """The parting is chosen on one half and measured on the other: choosing exaggerates nothing."""
    held = [
        split.low <= 1 <= split.high
        for split in (split_groups(drawn(seed, *[45.0] * 8, jobs=8)) for seed in range(600))
    ]
    assert 0.93 <= np.mean(held) <= 0.995
