"""How well a reading separates parts: published areas, scipy, and limits counted by hand."""

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import mannwhitneyu

from dashboard.stats.roc import best_limit, roc_area

# Hanley & McNeil, Radiology 1982;143:29: 58 normal and 51 abnormal CT images rated 1 to 5
NORMAL, ABNORMAL = (33, 6, 6, 11, 2), (3, 2, 2, 11, 33)


def rated(counts: tuple[int, ...]) -> list[int]:
    """Return the ratings one by one."""
    return [rating for rating, count in enumerate(counts, start=1) for _ in range(count)]


def test_the_area_is_that_of_hanley_and_mcneil_1982():
    """They print .893, SE .032 (U = 2642 of 51 · 58 pairs; SE by their exponential form .03249)."""
    found = roc_area(rated(ABNORMAL), rated(NORMAL))
    assert found.area == pytest.approx(2642 / (51 * 58))
    assert found.area == pytest.approx(0.893, abs=5e-4)
    assert found.high - found.area == pytest.approx(1.959964 * 0.03249, abs=1e-5)


@given(
    st.lists(st.integers(0, 9), min_size=1, max_size=15),
    st.lists(st.integers(0, 9), min_size=1, max_size=15),
)
def test_the_area_is_the_statistic_of_mann_and_whitney(bad, good):
    expected = mannwhitneyu(bad, good).statistic / (len(bad) * len(good))
    assert roc_area(bad, good).area == pytest.approx(expected)


def test_an_open_reading_is_above_every_number():
    assert roc_area([inf, inf], [1, 2e9]).area == 1


def test_a_perfect_area_still_has_an_interval():
    """Rule of three: nothing in 30 leaves up to 3/30."""
    found = roc_area([inf] * 30, [1.0] * 40)
    assert (found.low, found.high) == (1 - 3 / 30, 1)


def test_without_both_groups_nothing_can_be_said():
    assert roc_area([], [1]) is None
    assert best_limit([1], []) is None
    assert best_limit([1], [1]) is None  # no value parts anything


def test_the_best_limit_counted_by_hand():
    """Bad 5, 9, open; good 1, 2, 6: above 2–5 finds 3/3 and spares 2/3; above 6–9 2/3 and 3/3.

    Both have J = 2/3; the less condemning one is taken: half-way between 6 and 9.
    """
    found = best_limit([5, 9, inf], [1, 2, 6])
    assert found.limit == 7.5
    assert (found.youden, found.sensitivity, found.specificity) == pytest.approx((2 / 3, 2 / 3, 1))


def test_below_is_the_side_where_condemned_parts_lie():
    found = best_limit([1, 2], [8, 9])
    assert (found.is_above, found.limit, found.youden) == (False, 5, 1)


def test_before_open_the_limit_is_the_last_number():
    assert best_limit([inf, inf], [1, 3]).limit == 3


@given(
    st.lists(st.integers(0, 6), min_size=2, max_size=9),
    st.lists(st.integers(0, 6), min_size=2, max_size=9),
)
def test_no_limit_has_a_higher_youden(bad, good):
    found = best_limit(bad, good, draws=10)
    if found is None:
        assert len(set(bad) | set(good)) == 1
        return
    limits = np.arange(-0.5, 7, 0.5)
    sign = 1 if found.is_above else -1
    youden = [
        sign * (np.mean([b > limit for b in bad]) - np.mean([g > limit for g in good]))
        for limit in limits
    ]
    values = sorted(set(bad) | set(good))
    inner = [j for limit, j in zip(limits, youden, strict=True) if values[0] <= limit < values[-1]]
    assert found.youden == pytest.approx(max(inner))


def test_the_limits_interval_covers_the_true_limit():
    """Good N(0, 1), bad N(2, 1): the best limit is 1, half-way. 95 % intervals that are a little
    narrow (the maximum's bootstrap is rough): at least 80 of 100 shops, seeds fixed.
    """
    held = 0
    for seed in range(100):
        generator = np.random.default_rng(seed)
        bad, good = generator.normal(2, 1, 60), generator.normal(0, 1, 60)
        found = best_limit(bad, good, seed=seed, draws=300)
        held += found.low <= 1 <= found.high
    assert held >= 80


def test_one_condemned_part_is_enough_for_an_area():
    assert roc_area([1.0], [2.0, 3.0]).area == 0
