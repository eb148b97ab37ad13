"""Counted numbers say what the numbers themselves would say."""

from math import isnan

import numpy as np
import pytest

from dashboard.stats.weighted_sample import Counted, counted, on_one_axis


@pytest.mark.parametrize("n", [1, 2, 7, 40, 41])
def test_ranks_and_median_are_those_of_the_numbers_one_by_one(n: int):
    numbers = np.random.default_rng(n).integers(0, 9, n) / 8
    found = counted(numbers)
    assert len(found) == n
    assert found.at(np.arange(n)).tolist() == sorted(numbers)
    assert found.median == np.median(numbers)  # numpy, the second opinion


def test_no_numbers_have_no_median():
    assert len(counted([])) == 0
    assert isnan(counted([]).median)


def test_a_value_that_only_another_group_has_counts_0():
    first, second = on_one_axis([2, 1, 2], Counted(np.array([2.0, 3.0]), np.array([1, 4])))
    assert first.values.tolist() == second.values.tolist() == [1, 2, 3]
    assert first.counts.tolist() == [1, 2, 0]
    assert second.counts.tolist() == [0, 1, 4]
    assert (first.median, second.median) == (2, 3)
