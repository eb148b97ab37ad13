"""The saving of a better order: by arithmetic, and its interval by simulated shops."""

from dataclasses import replace

import numpy as np
import pytest
from pytest import approx

from dashboard.stats.sequencing.cause_prior import blend
from dashboard.stats.sequencing.exact import best_order, expected_minutes
from dashboard.stats.sequencing.saving import order_saving
from tests.references import order_of_tests as reference
from tests.stats.chain_examples import one_test_per_cause, random_chain


def two_causes():
    return one_test_per_cause((0.5, 0.5), (10, 2))


def test_saving_by_hand():
    """Mix 1/4, 3/4. Usual: 10 + 3/4 x 2; better: 2 + 1/4 x 10."""
    counts = {"cause 0": 10, "cause 1": 30}
    found = order_saving(two_causes(), ("0", "1"), ("1", "0"), counts, {})
    assert found.usual_min == approx(10 + 0.75 * 2)
    assert found.better_min == approx(2 + 0.25 * 10)
    assert found.saving_min == approx(11.5 - 4.5)
    assert (found.parts_at, found.n) == (0, 40)


def test_the_interval_is_the_exact_one_of_a_binomial_share():
    """saving = 10 + 2q - (2 + 10(1 - q)) = 12 q - 2 with q ~ Binomial(40, 3/4) / 40.

    Quantiles of Binomial(40, .75): 24 and 35 (scipy). Tolerance: one job either way."""
    counts = {"cause 0": 10, "cause 1": 30}
    found = order_saving(two_causes(), ("0", "1"), ("1", "0"), counts, {})
    assert found.low == approx(12 * 24 / 40 - 2, abs=12 / 40)
    assert found.high == approx(12 * 35 / 40 - 2, abs=12 / 40)


def test_the_interval_holds_the_true_saving_in_about_95_of_100_shops():
    rng = np.random.default_rng(3)
    truth = 12 * 0.6 - 2
    held = []
    for draw in range(300):
        ones = int(rng.binomial(60, 0.6))
        counts = {"cause 0": 60 - ones, "cause 1": ones}
        found = order_saving(
            two_causes(), ("0", "1"), ("1", "0"), counts, {}, resamples=400, seed=draw
        )
        held.append(found.low <= truth <= found.high)
    assert np.mean(held) == approx(0.95, abs=0.04)  # 300 shops: two standard errors 0.025, n small


def test_published_orders_save_what_the_brute_force_says():
    """Known by elimination: 9.95 against 11.15 minutes."""
    case = reference.ELIMINATION
    chain = one_test_per_cause(case["probability"], case["minutes"], known_at=1 - 1e-9)
    usual, better = (
        tuple(map(str, order)) for order in (case["ratio_order"], case["best_orders"][0])
    )
    weights = {f"cause {i}": p for i, p in enumerate(case["probability"])}
    found = order_saving(chain, usual, better, {}, weights)
    assert found.saving_min == approx(11.15 - 9.95)
    assert (found.low, found.high, found.n) == (None, None, 0)
    assert found.parts_at == 3


def test_the_saving_of_a_best_order_is_never_negative_and_lies_in_its_interval():
    rng = np.random.default_rng(8)
    for instance in range(40):
        chain = replace(random_chain(rng, 6, [None, 0.9][instance % 2]), before=())
        counts = {cause: int(rng.integers(1, 30)) for cause in chain.causes}
        own = replace(chain, causes=blend(counts, chain.causes))
        best = best_order(own)
        found = order_saving(chain, chain.names, best.tests, counts, chain.causes, resamples=300)
        assert found.better_min == approx(best.minutes)
        assert found.usual_min == approx(expected_minutes(own, chain.names))
        assert found.saving_min >= -1e-9
        assert found.low - 1e-9 <= found.saving_min <= found.high + 1e-9


def test_equal_orders_save_nothing():
    found = order_saving(two_causes(), ("0", "1"), ("0", "1"), {"cause 0": 5}, {"cause 1": 1})
    assert (found.saving_min, found.low, found.high, found.parts_at) == (0, 0, 0, None)


def test_jobs_of_a_cause_outside_the_chain_are_left_out():
    counts = {"cause 0": 10, "cause 1": 30}
    orders = (("0", "1"), ("1", "0"))
    plain = order_saving(two_causes(), *orders, counts, {})
    assert order_saving(two_causes(), *orders, counts | {"mouse nest": 9}, {}) == plain


def test_orders_of_different_tests_are_refused():
    with pytest.raises(ValueError, match="same tests"):
        order_saving(two_causes(), ("0", "1"), ("0",), {"cause 0": 1}, {})
