"""The curve of jobs covered by what is spent on parts, one unit after the other."""

from itertools import pairwise

import pytest

from dashboard.stats.inventory.curve import stock_curve
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.model import best_stock
from tests.stats.inventory.test_local_search import MANY, drawn


def test_the_curve_rises_and_no_point_beats_the_best_stock_of_its_cost():
    kits, demands, costs = drawn(3, MANY[:5])
    points = stock_curve(kits, demands, costs)
    assert points[0].filled == 0
    for before, after in pairwise(points):
        assert after.filled > before.filled
        assert after.covered > before.covered
    for point in points[:6]:
        assert point.covered <= best_stock(kits, demands, costs, point.filled).covered + 1e-9


def test_a_job_without_parts_is_covered_by_an_empty_van():
    assert stock_curve([Kit({}, 2.0)], {}, {})[0].covered == 2.0


def test_a_part_without_size_is_refused():
    kits, demands, costs = drawn(0, MANY)
    with pytest.raises(ValueError, match="size"):
        stock_curve(kits, demands, costs | {MANY[0]: 0})
