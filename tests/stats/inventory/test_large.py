"""A van of many part numbers: as good as the complete search, never above its bound."""

from itertools import pairwise, product

import numpy as np
import pytest

from dashboard.stats.inventory.curve import stock_curve
from dashboard.stats.inventory.demand import PartDemand
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.large import large_stock
from dashboard.stats.inventory.model import best_stock, jobs_covered

MANY = [f"P{i:02}" for i in range(14)]


def drawn(seed: int, parts: list[str]) -> tuple[list[Kit], dict, dict]:
    """Return kits of one or two parts, their demand and the parts' costs, at random."""
    rng = np.random.default_rng(seed)
    kits = [
        Kit({part: 1}, float(rate))
        for part, rate in zip(parts, rng.uniform(0.02, 0.5, len(parts)), strict=True)
    ]
    kits += [
        Kit({a: 1, b: 1}, float(rng.uniform(0.02, 0.2)))
        for a, b in (rng.choice(parts, 2, replace=False) for _ in range(6))
    ]
    demands = {}
    for part in parts:
        mean = sum(kit.jobs for kit in kits if part in kit.parts)
        demands[part] = PartDemand(mean, mean, 100)
    return (
        kits,
        demands,
        {
            part: float(cost)
            for part, cost in zip(parts, rng.integers(10, 120, len(parts)), strict=True)
        },
    )


@pytest.mark.parametrize("seed", range(6))
def test_many_parts_come_near_the_bound_and_hold_the_budget(seed: int):
    kits, demands, costs = drawn(seed, MANY)
    found = large_stock(kits, demands, costs, 400)
    assert sum(costs[part] * units for part, units in found.units.items()) <= 400
    assert found.covered == pytest.approx(jobs_covered(kits, demands, found.units), abs=1e-9)
    assert found.covered <= found.bound + 1e-9
    slow = best_stock(kits, demands, costs, 400)
    assert found.covered >= slow.covered - 0.01 * slow.jobs  # two searches may end in two optima


@pytest.mark.parametrize("seed", range(4))
def test_no_kit_of_twelve_parts_covers_more_by_brute_force(seed: int):
    """One of each part or none, 12 parts, 4 096 vans: the slots allow no more than five."""
    parts = MANY[:12]
    kits, demands, _ = drawn(seed, parts)
    few = {
        part: PartDemand(demand.mean / 200, demand.mean / 200, 100)
        for part, demand in demands.items()
    }
    found = large_stock(kits, few, dict.fromkeys(parts, 1.0), 5)
    vans = (
        {p for p, on in zip(parts, bits, strict=True) if on}
        for bits in product((0, 1), repeat=12)
        if sum(bits) == 5
    )
    best = max(jobs_covered(kits, few, dict.fromkeys(van, 1)) for van in vans)
    assert found.covered >= best - 1e-9


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
    assert large_stock([Kit({}, 2.0)], {}, {}, 100).covered == 2.0


def test_a_negative_capacity_or_a_part_without_size_is_refused():
    kits, demands, costs = drawn(0, MANY)
    with pytest.raises(ValueError, match="capacity"):
        large_stock(kits, demands, costs, -1)
    with pytest.raises(ValueError, match="size"):
        large_stock(kits, demands, costs | {MANY[0]: 0}, 100)
    with pytest.raises(ValueError, match="size"):
        stock_curve(kits, demands, costs | {MANY[0]: 0})
