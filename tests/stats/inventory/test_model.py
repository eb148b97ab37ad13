"""Van stock: published kits, every stock tried, simulated periods, and the bound of large cases."""

from itertools import product
from math import prod

import numpy as np
import pytest
from pytest import approx

from dashboard.stats.inventory import model as van_stock
from dashboard.stats.inventory.demand import PartDemand
from dashboard.stats.inventory.kit import Kit
from dashboard.stats.inventory.model import best_stock, jobs_covered
from tests.references import stock as reference


def demand_of(kits):
    """Return the Poisson demand that the kits make."""
    parts = sorted({part for kit in kits for part in kit.parts})
    means = {p: sum(kit.jobs * kit.parts.get(p, 0) for kit in kits) for p in parts}
    return {part: PartDemand(mean, mean, 52) for part, mean in means.items()}


def random_shop(rng, parts, kits, rate=0.6):
    """Return kits of one to three parts, their demand and sizes of the parts."""
    names = [f"part {i}" for i in range(parts)]
    drawn = [Kit({n: 1}, float(rng.uniform(0.02, rate))) for n in names]
    for _ in range(kits - parts):
        chosen = rng.choice(names, int(rng.integers(2, 4)), replace=False)
        needs = {str(name): int(rng.choice([1, 1, 1, 2])) for name in chosen}
        drawn.append(Kit(needs, float(rng.uniform(0.02, rate))))
    sizes = {name: float(rng.integers(1, 20)) for name in names}
    return drawn, demand_of(drawn), sizes


@pytest.mark.parametrize("searched_completely", [True, False])
@pytest.mark.parametrize("budget, best, share", reference.KIT_BEST)
def test_best_kits_are_not_nested(monkeypatch, budget, best, share, searched_completely):
    """So few jobs a period that one unit covers a part: the published sets of parts."""
    if not searched_completely:
        monkeypatch.setattr(van_stock, "EXACT_STOCKS", 0)
    kits = [Kit(dict.fromkeys(parts, 1), 1e-6 * p) for parts, p in reference.KIT_JOBS.items()]
    found = best_stock(kits, demand_of(kits), reference.KIT_COSTS, budget)
    assert sum(reference.KIT_COSTS[p] * n for p, n in found.units.items()) <= budget
    assert set(found.units) >= set(best)
    assert found.covered / found.jobs == approx(share, abs=1e-5)  # a second job in one period


def test_no_stock_covers_more_than_the_complete_search_finds():
    """30 random shops of 4 parts: a plain loop over all stocks of 0 to 3 units each."""
    rng = np.random.default_rng(1)
    for _ in range(30):
        kits, demands, sizes = random_shop(rng, 4, 7)
        capacity = float(rng.integers(5, 60))
        found = best_stock(kits, demands, sizes, capacity)
        fitting = [
            dict(zip(demands, units, strict=True))
            for units in product(range(4), repeat=4)
            if np.dot(units, [sizes[p] for p in demands]) <= capacity
        ]
        assert max(jobs_covered(kits, demands, each) for each in fitting) <= found.covered + 1e-9
        assert jobs_covered(kits, demands, found.units) == approx(found.covered)
        assert sum(sizes[p] * n for p, n in found.units.items()) <= capacity
        assert found.is_exact and found.gap == 0


def test_the_best_of_twelve_parts_is_that_of_all_4096_sets():
    rng = np.random.default_rng(2)
    kits, _, sizes = random_shop(rng, 12, 20)
    kits = [Kit(dict.fromkeys(kit.parts, 1), 1e-7 * kit.jobs) for kit in kits]
    found = best_stock(kits, demand_of(kits), sizes, 50)
    total = 0.0
    for taken in product((0, 1), repeat=12):
        on_board = {part for part, units in zip(sizes, taken, strict=True) if units}
        if sum(sizes[part] for part in on_board) <= 50:
            total = max(total, sum(kit.jobs for kit in kits if set(kit.parts) <= on_board))
    assert found.covered == approx(total, rel=1e-5)


def test_the_programme_lies_within_its_bound_and_near_the_complete_search(monkeypatch):
    """Vans for a handful of units, where one wrong choice costs most: 0.07% of the jobs."""
    rng = np.random.default_rng(3)
    lost = []
    for _ in range(25):
        kits, demands, sizes = random_shop(rng, 5, 9)
        capacity = float(rng.integers(10, 80))
        exact = best_stock(kits, demands, sizes, capacity)
        with monkeypatch.context() as patch:
            patch.setattr(van_stock, "EXACT_STOCKS", 0)
            found = best_stock(kits, demands, sizes, capacity)
        assert sum(sizes[p] * n for p, n in found.units.items()) <= capacity
        assert found.covered - 1e-9 <= exact.covered <= found.bound + 1e-6
        lost.append(1 - found.covered / exact.covered)
    assert np.mean(lost) < 0.0007
    assert np.median(lost) < 1e-9


def test_a_van_of_eighty_parts_is_stocked_within_a_small_gap():
    """The bound must be near: under 5 % of the jobs."""
    rng = np.random.default_rng(4)
    kits, demands, sizes = random_shop(rng, 80, 130, rate=0.15)
    found = best_stock(kits, demands, sizes, 500)
    assert sum(sizes[p] * n for p, n in found.units.items()) <= 500
    assert found.covered == approx(jobs_covered(kits, demands, found.units))
    assert 0 <= found.gap < 0.05 * found.jobs


def simulated(kits, units, periods, rng):
    """Return jobs covered per period when jobs come one by one and all of them use parts."""
    counts = rng.poisson([kit.jobs for kit in kits], (periods, len(kits)))
    covered = 0
    for row in counts:
        left = dict(units)
        for kit in rng.permutation(np.repeat(np.arange(len(kits)), row)):
            needs = kits[kit].parts
            covered += all(left.get(part, 0) >= wanted for part, wanted in needs.items())
            for part, wanted in needs.items():
                left[part] = left.get(part, 0) - wanted
    return covered / periods


def test_jobs_of_one_part_are_covered_as_often_as_simulated():
    """20 000 periods: standard error about .01."""
    kits = [Kit({"belt": 1}, 1.5), Kit({"fuse": 1}, 0.7)]
    found = jobs_covered(kits, demand_of(kits), {"belt": 2, "fuse": 1})
    assert found == approx(
        simulated(kits, {"belt": 2, "fuse": 1}, 20_000, np.random.default_rng(5)), abs=0.03
    )


def test_jobs_of_several_parts_lie_between_the_product_and_the_scarcest_part():
    kits = [Kit({"belt": 1}, 0.5), Kit({"belt": 1, "roller": 1, "fuse": 1}, 0.8)]
    units = {"belt": 2, "roller": 1, "fuse": 1}
    demands = demand_of(kits)
    share = {p: demands[p].share_covered(units[p])[-1] for p in units}
    product_of_chances = 0.5 * share["belt"] + 0.8 * prod(share.values())
    scarcest = 0.5 * share["belt"] + 0.8 * min(share.values())
    assert jobs_covered(kits, demands, units) == approx(product_of_chances)
    seen = simulated(kits, units, 10_000, np.random.default_rng(6))
    assert product_of_chances - 0.03 < seen < scarcest + 0.03  # standard error about .01


def test_a_job_that_needs_two_finds_them_only_with_two_on_board():
    kits = [Kit({"roller": 2}, 1e-6)]
    demands = demand_of(kits)
    assert jobs_covered(kits, demands, {"roller": 1}) == 0
    assert jobs_covered(kits, demands, {"roller": 2}) == approx(1e-6, rel=1e-4)


def test_jobs_without_parts_count_and_an_empty_shop_has_none():
    assert jobs_covered([Kit({}, 3)], {}, {}) == 3
    assert best_stock([Kit({}, 3)], {}, {}, 10).covered == 3
    empty = best_stock([], {}, {}, 10)
    assert (empty.units, empty.covered, empty.jobs, empty.gap) == ({}, 0, 0, 0)


@pytest.mark.parametrize("searched_completely", [True, False])
def test_nothing_fits(monkeypatch, searched_completely):
    if not searched_completely:
        monkeypatch.setattr(van_stock, "EXACT_STOCKS", 0)
    kits = [Kit({"motor": 1}, 1.0)]
    found = best_stock(kits, demand_of(kits), {"motor": 5}, 4)
    assert (found.units, found.covered, found.bound) == ({}, 0, 0)


@pytest.mark.parametrize(
    "kits, sizes, capacity",
    [
        ([Kit({"belt": 1}, 1)], {}, 5),
        ([Kit({"belt": 1}, 1)], {"belt": 1}, -1),
        ([Kit({"belt": 0}, 1)], {"belt": 1}, 5),
        ([Kit({"belt": 1}, -1)], {"belt": 1}, 5),
    ],
)
def test_impossible_input_is_refused(kits, sizes, capacity):
    with pytest.raises(ValueError, match="wanted"):
        best_stock(kits, {"belt": PartDemand(1, 1, 1)}, sizes, capacity)


def test_a_part_without_demand_is_named():
    with pytest.raises(ValueError, match="belt"):
        jobs_covered([Kit({"belt": 1}, 1)], {}, {})
