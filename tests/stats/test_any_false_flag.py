"""Many tests on counts: by hand, and equal to Holm's where any chance can be reached."""

import numpy as np
import pytest
from scipy.stats import binom
from statsmodels.stats.multitest import multipletests

from dashboard.stats.multiple_testing import adjusted_for_any, by_information
from dashboard.stats.one_group import chance_of_so_many, chances


def test_a_test_that_cannot_reach_a_level_adds_nothing_there():
    """Chances 0.01 and 0.3, of a test that cannot have less; worked by hand.

    At 0.01: 0.01 + 0. At 0.3 the first is set aside: 0.3. Holm alone: 0.02 and 0.3.
    """
    reached = [np.array([0.01, 0.2, 1.0]), np.array([0.3, 1.0])]
    assert adjusted_for_any([0.01, 0.3], reached) == pytest.approx([0.01, 0.3])


def test_a_clear_culprit_does_not_ease_the_test_of_the_others():
    """Twenty tests that can reach 0.004: 19 * 0.004 for the second, whatever the first was."""
    reached = [np.array([1e-9, 0.004, 1.0])] * 20
    found = adjusted_for_any([1e-9, 0.004, *[1.0] * 18], reached)
    assert found[1] == pytest.approx(19 * 0.004)


def test_tests_that_can_reach_any_level_are_those_of_statsmodels():
    p = np.random.default_rng(3).uniform(size=50) ** 2
    assert adjusted_for_any(p, [None] * 50) == pytest.approx(multipletests(p, method="holm")[1])


def test_weights_share_out_the_chance_by_hand():
    """Weights 3 and 1: 0.015 / 3 and 0.01 / 1. First 0.015 + 0.005, then 0.01; without weights both 0.02."""
    assert adjusted_for_any([0.015, 0.01], [None, None], [1.5, 0.5]) == pytest.approx([0.02, 0.02])
    assert adjusted_for_any([0.015, 0.01], [None, None]) == pytest.approx([0.02, 0.02])
    assert adjusted_for_any([0.015, 0.5], [None, None], [1.5, 0.5]) == pytest.approx([0.02, 0.5])
    assert by_information([1, 2, 3]) == pytest.approx([1 / 2, 1, 3 / 2])


def test_parts_that_are_all_alike_are_flagged_in_at_most_one_shop_of_twenty():
    """500 shops of 70 parts with 0 to 8 failures among themselves; 3 standard errors of 5 %."""
    generator, wrong = np.random.default_rng(5), 0
    for _ in range(500):
        failures = generator.integers(0, 9, 70)
        expected = failures * generator.uniform(0.1, 0.6, 70)
        observed = generator.binomial(failures, expected / np.maximum(failures, 1))
        p = chance_of_so_many(observed, expected, failures)
        reached = [chances(mean, int(n)) for mean, n in zip(expected, failures, strict=True)]
        share = expected / np.maximum(failures, 1)
        weights = by_information(failures * share * (1 - share))
        wrong += (adjusted_for_any(p, reached, weights) <= 0.05).any()
    assert 0 < wrong / 500 <= 0.05 + 3 * (0.05 * 0.95 / 500) ** 0.5


def test_the_chances_rise_and_hold_what_is_seen():
    reached = chances(2.0, 5)
    assert (np.diff(reached) > 0).all()
    assert reached == pytest.approx([binom.sf(k - 1, 5, 0.4) for k in range(5, -1, -1)])
    assert chances(0.0, 0).tolist() == [1.0]
