"""Cost and flat rate against the worked arithmetic of the trade, cent by cent."""

from math import inf, nan

import numpy as np
import pytest
from pytest import approx

from dashboard.pricing.price import (
    Slab,
    callback_reserve,
    cost_to_serve,
    flat_rate,
    loaded_labour,
    marked_up,
)
from tests.references import pricing as reference

CENT = 0.005  # amounts are printed to the cent
SLABS = [Slab(inf if end is None else end, factor) for end, factor in reference.SLABS]


def worked_cost():
    labour = loaded_labour(**reference.LABOUR)
    reserve = callback_reserve(**reference.CALLBACK, labour_per_hour=labour.per_hour)
    return cost_to_serve(
        reference.PLANNED_MIN, labour.per_hour, parts=reference.PART_COST, reserve=reserve
    )


def test_loaded_labour():
    labour = loaded_labour(**reference.LABOUR)
    assert labour.technician_per_hour == approx(reference.TECHNICIAN_PER_HOUR, abs=CENT)
    assert labour.overhead_per_hour == approx(reference.OVERHEAD_PER_HOUR, abs=CENT)
    assert labour.per_hour == approx(reference.LABOUR_PER_HOUR, abs=CENT)


def test_cost_to_serve():
    cost = worked_cost()
    assert cost.labour == approx(reference.LABOUR_COST, abs=CENT)
    assert cost.callback_reserve == approx(reference.RESERVE, abs=CENT)
    assert cost.total == approx(reference.COST, abs=CENT)


def test_every_item_counts_once():
    cost = cost_to_serve(30, 100, parts=1, travel=2, consumables=3, overhead=4, reserve=5)
    assert cost.total == approx(30 / 60 * 100 + 1 + 2 + 3 + 4 + 5)
    assert cost_to_serve(0, 100).total == 0


def test_flat_rate():
    assert flat_rate(worked_cost().total, reference.TARGET_MARGIN) == approx(
        reference.PRICE, abs=CENT
    )


def test_the_rate_is_rounded_up_to_the_step_and_no_further():
    assert flat_rate(198.54, 0.15, step=5) == 235
    assert flat_rate(200, 0.2, step=50) == 250
    assert flat_rate(0.7 * 0.1, 0, step=0.07) == 0.07  # 0.06999... and 0.07000...1 alike
    assert flat_rate(0.3, 0, step=0.1) == 0.3
    assert flat_rate(0, 0.15, step=5) == 0


@pytest.mark.parametrize("cost, price", reference.SLAB_PRICES)
def test_slabs(cost, price):
    assert marked_up(cost, SLABS) == approx(price)


def test_step_tiers_break_the_order_of_prices_and_slabs_keep_it():
    (low, low_factor, low_price), (high, high_factor, high_price) = reference.STEP_TIERS
    assert low * low_factor == approx(low_price, abs=CENT)
    assert high * high_factor == approx(high_price, abs=CENT)
    assert low < high and low_price > high_price
    tiers = [Slab(10, low_factor), Slab(inf, high_factor)]
    assert marked_up(low, tiers) < marked_up(high, tiers)


def test_slabs_always_rise_and_never_sell_under_cost():
    rng = np.random.default_rng(1)
    for _ in range(50):
        ends = np.cumsum(rng.uniform(1, 60, 4))
        slabs = [Slab(e, f) for e, f in zip([*ends, inf], rng.uniform(1, 4, 5), strict=True)]
        costs = np.sort(rng.uniform(0, 300, 60))
        prices = [marked_up(cost, slabs) for cost in costs]
        assert (np.diff(prices) > 0).all()
        assert (prices >= costs).all()


@pytest.mark.parametrize(
    "slabs", [[], [Slab(10, 2)], [Slab(50, 2), Slab(10, 2), Slab(inf, 1)], [Slab(inf, 0.9)]]
)
def test_slabs_that_do_not_cover_every_cost_are_refused(slabs):
    with pytest.raises(ValueError, match="slabs"):
        marked_up(5, slabs)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: flat_rate(100, 1),
        lambda: flat_rate(-1, 0.1),
        lambda: flat_rate(nan, 0.1),
        lambda: loaded_labour(30, 0.2, 0, 2080),
        lambda: loaded_labour(30, 0.2, 58, 2080),
        lambda: callback_reserve(6, 60, 100),
        lambda: cost_to_serve(-5, 100),
    ],
)
def test_impossible_amounts_are_refused(wrong):
    with pytest.raises(ValueError, match="wanted"):
        wrong()
