"""Local search: as good as complete searches where kits compete, and never above the bound."""

from itertools import product

import numpy as np
import pytest

from dashboard.stats.inventory.demand import PartDemand
from dashboard.stats.inventory.fill_rate import stock_tables
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.local_search import LocalSearch
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
    found = best_stock(kits, demands, costs, 400)
    assert sum(costs[part] * units for part, units in found.units.items()) <= 400
    assert found.covered == pytest.approx(jobs_covered(kits, demands, found.units), abs=1e-9)
    assert found.covered <= found.bound + 1e-9
    assert found.gap < 0.03 * found.jobs


@pytest.mark.parametrize("seed", range(4))
def test_no_kit_of_twelve_parts_covers_more_by_brute_force(seed: int):
    """One of each part or none, 12 parts, 4 096 vans: the slots allow no more than five."""
    parts = MANY[:12]
    kits, demands, _ = drawn(seed, parts)
    few = {
        part: PartDemand(demand.mean / 200, demand.mean / 200, 100)
        for part, demand in demands.items()
    }
    found = best_stock(kits, few, dict.fromkeys(parts, 1.0), 5)
    vans = (
        {p for p, on in zip(parts, bits, strict=True) if on}
        for bits in product((0, 1), repeat=12)
        if sum(bits) == 5
    )
    best = max(jobs_covered(kits, few, dict.fromkeys(van, 1)) for van in vans)
    assert found.covered >= best - 1e-9


def test_a_kit_of_two_parts_takes_the_place_of_two_single_parts():
    """No exchange of one unit gains: half a kit covers nothing."""
    kits = [Kit({"a": 1, "b": 1}, 0.3), Kit({"c": 1}, 0.1), Kit({"d": 1}, 0.1)]
    parts = ["a", "b", "c", "d"]
    demands = {part: PartDemand(1e-6, 1e-6, 100) for part in parts}
    tables = stock_tables(demands, dict.fromkeys(parts, 1), dict.fromkeys(parts, 1.0), 2)
    search = LocalSearch(kits, parts, tables, np.ones(4), 2)
    assert search.improved(np.array([0, 0, 1, 1])).tolist() == [1, 1, 0, 0]


@pytest.mark.parametrize("seed", range(4))
def test_the_result_covers_no_fewer_jobs_than_the_start(seed: int):
    kits, demands, costs = drawn(seed, MANY)
    size = np.array([costs[part] for part in MANY])
    search = LocalSearch(
        kits, MANY, stock_tables(demands, dict.fromkeys(MANY, 1), costs, 400), size, 400
    )
    rng = np.random.default_rng(seed)
    for _ in range(20):
        start = rng.integers(0, 2, len(MANY))
        while start @ size > 400:
            start[rng.choice(np.flatnonzero(start))] = 0
        found = search.improved(start)
        assert found @ size <= 400
        assert search.covered(found) >= search.covered(start)
        best = search.covered(found)
        for part in np.flatnonzero(found):  # nothing left to gain by one unit for another
            for other in range(len(MANY)):
                moved = found.copy()
                moved[part] -= 1
                moved[other] += 1
                if moved[other] <= search.most[other] and moved @ size <= 400:
                    assert search.covered(moved) <= best + 1e-6
