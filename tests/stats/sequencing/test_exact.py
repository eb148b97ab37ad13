"""The best order of tests: against published rules, and against trying every order."""

from time import perf_counter

import numpy as np
import pytest
from pytest import approx

from dashboard.stats.sequencing import beam_search as long_order
from dashboard.stats.sequencing.chain import (
    AccessNode,
    Chain,
    ChainTest,
    dead_before_live,
    finding_tests,
)
from dashboard.stats.sequencing.exact import (
    best_order,
    broken_rules,
    expected_minutes,
    steps,
    where_orders_part,
)
from tests.references import order_of_tests as reference
from tests.stats.chain_examples import (
    least_minutes_by_trying_every_order,
    one_test_per_cause,
    random_chain,
)

BY_ELIMINATION = 1 - 1e-9


def names(order):
    return tuple(str(place) for place in order)


@pytest.mark.parametrize("probability, cost, least, best, others", reference.RATIO_RULE)
def test_perfect_tests_follow_the_ratio_rule(probability, cost, least, best, others):
    chain = one_test_per_cause(probability, cost)
    found = best_order(chain)
    assert found.minutes == approx(least, abs=1e-9)
    assert found.tests in [names(order) for order in best]
    for order, minutes in others:
        assert expected_minutes(chain, names(order)) == approx(minutes, abs=1e-9)


def test_smith_rule():
    smith = reference.SMITH
    chain = one_test_per_cause(smith["weights"], smith["times"])
    found = best_order(chain)
    assert found.tests == names(smith["order"])
    assert found.minutes * sum(smith["weights"]) == approx(smith["least"], abs=1e-9)


def test_elimination_breaks_the_ratio_rule():
    case = reference.ELIMINATION
    chain = one_test_per_cause(case["probability"], case["minutes"], known_at=BY_ELIMINATION)
    found = best_order(chain)
    assert found.minutes == approx(case["best_min"], abs=1e-9)
    assert found.tests in [names(order) for order in case["best_orders"]]
    assert expected_minutes(chain, names(case["ratio_order"])) == approx(case["ratio_min"])


def test_shared_opening_breaks_the_ratio_rule():
    case = reference.SHARED_OPENING
    nodes = ["panel" if i in case["behind_panel"] else None for i in range(4)]
    panel = (AccessNode("panel", None, case["panel_min"], 0),)
    chain = one_test_per_cause(case["probability"], case["minutes"], nodes=nodes, access=panel)
    found = best_order(chain)
    assert found.minutes == approx(case["best_min"], abs=1e-9)
    assert found.tests in [names(order) for order in case["best_orders"]]
    assert expected_minutes(chain, names(case["ratio_order"])) == approx(case["ratio_min"])


@pytest.mark.parametrize("q, cost, least, best", reference.SERIES)
def test_series_system(q, cost, least, best):
    """Independent failures: one "cause" that every test catches with its own chance."""
    tests = tuple(
        ChainTest(str(i), c, {"down": q[i]}, frozenset({"down"})) for i, c in enumerate(cost)
    )
    found = best_order(Chain({"down": 1.0}, tests))
    assert found.minutes == approx(least, abs=1e-9)
    assert found.tests in [names(order) for order in best]


def test_random_chains_cost_what_the_best_of_all_orders_costs():
    """240 chains, up to 8 tests, with imperfect tests, shared opening, rules and elimination."""
    rng = np.random.default_rng(20)
    for instance in range(240):
        tests = 8 if instance % 12 == 0 else int(rng.integers(1, 8))
        known_at = [None, 0.9, BY_ELIMINATION][instance % 3]
        chain = random_chain(rng, tests, known_at)
        found = best_order(chain)
        assert found.minutes == approx(least_minutes_by_trying_every_order(chain), abs=1e-9)
        assert expected_minutes(chain, found.tests) == approx(found.minutes, abs=1e-9)
        assert broken_rules(chain, found.tests) == ()
        assert sorted(found.tests) == sorted(chain.names)


def test_many_tests_stay_within_the_reported_gap():
    """The beam's order against the exact one; the bound must lie below the optimum."""
    rng = np.random.default_rng(4)
    for instance in range(60):
        chain = random_chain(rng, int(rng.integers(2, 10)), [None, 0.9][instance % 2])
        exact = best_order(chain).minutes
        order, minutes, bound = long_order.beam_order(chain, width=20)
        assert expected_minutes(chain, order) == approx(minutes, abs=1e-9)
        assert broken_rules(chain, order) == ()
        assert bound <= exact + 1e-9 <= minutes + 2e-9


def test_beam_alone_finds_the_ratio_rule_and_its_bound_is_tight():
    """One perfect test per cause and nothing to open: the bound is the optimum itself."""
    rng = np.random.default_rng(5)
    p, cost = rng.dirichlet(np.ones(24)), rng.integers(1, 20, 24)
    ratio = sorted(range(24), key=lambda i: -p[i] / cost[i])
    chain = one_test_per_cause(p, cost.tolist())
    found = best_order(chain)
    assert found.minutes == approx(expected_minutes(chain, names(ratio)))
    assert found.lower_bound == approx(found.minutes) and found.is_exact


def test_sixteen_tests_take_at_most_two_seconds():
    chain = random_chain(np.random.default_rng(6), 16)
    start = perf_counter()
    best_order(chain)
    assert perf_counter() - start < 2


def test_opening_is_paid_once_and_closing_from_the_moment_a_node_is_open():
    """Pulled out 5 + 6, rear panel 5 + 7, test 3: 26 minutes; the second test there 2 minutes."""
    access = (AccessNode("out", None, 5, 6), AccessNode("rear", "out", 5, 7))
    chain = one_test_per_cause((0.6, 0.4), (3, 2), nodes=["rear", "rear"], access=access)
    first, second = steps(chain, ("0", "1"))
    assert (first.minutes, first.opened) == (5 + 6 + 5 + 7 + 3, ("out", "rear"))
    assert (second.minutes, second.opened, second.chance_reached) == (2, (), approx(0.4))
    assert expected_minutes(chain, ("0", "1")) == approx(26 + 0.4 * 2)


def test_a_fault_no_test_finds_costs_all_tests():
    chain = one_test_per_cause((0.5, 0.5), (3, 2), finds=(0.8, 0.0))
    walked = steps(chain, ("0", "1"))
    assert walked[-1].found_by_then == approx(0.5 * 0.8)
    assert expected_minutes(chain, ("0", "1")) == approx(3 + (0.5 * 0.2 + 0.5) * 2)


def test_a_rule_outranks_minutes():
    chain = one_test_per_cause((0.9, 0.1), (1, 50), before=(("1", "0"),))
    assert best_order(chain).tests == ("1", "0")
    assert broken_rules(chain, ("0", "1")) == (("1", "0"),)


def test_a_live_test_waits_for_the_dead_test_that_answers_the_same_question():
    def check(name, cause, energised):
        causes = {"element": 0.03, "supply": 0.03} | {cause: 0.9}
        return ChainTest(name, 1, causes, frozenset({cause}), energised=energised)

    live, dead = check("volts at element", "element", True), check("element ohms", "element", False)
    supply = check("supply volts", "supply", True)
    pairs = dead_before_live((live, dead, supply), first=("supply volts", "not in this chain"))
    assert ("element ohms", "volts at element") in pairs
    assert ("supply volts", "element ohms") in pairs
    assert ("supply volts", "volts at element") in pairs
    assert len(pairs) == 3


def test_a_test_that_narrows_is_left_out_of_a_fair_comparison():
    both = {"a": 0.9, "b": 0.9}
    tests = (ChainTest("current", 1, both, frozenset()), ChainTest("ohms", 2, both, frozenset("a")))
    chain = Chain({"a": 1, "b": 1}, tests, before=(("current", "ohms"),))
    assert finding_tests(chain).names == ("ohms",)
    assert finding_tests(chain).before == ()


def test_equal_orders_do_not_part():
    assert where_orders_part(("a", "b"), ("a", "b")) is None
    assert where_orders_part(("a", "b", "c"), ("a", "c", "b")) == 1
    assert where_orders_part(("a",), ("a", "b")) == 1


def test_no_tests_cost_nothing():
    chain = Chain({"only": 1.0}, ())
    assert best_order(chain).tests == ()
    assert best_order(chain).minutes == expected_minutes(chain, ()) == 0


def test_ties_go_to_the_test_listed_first():
    assert best_order(one_test_per_cause((0.25,) * 4, (3,) * 4)).tests == ("0", "1", "2", "3")


@pytest.mark.parametrize(
    "change, said",
    [
        ({"before": (("0", "1"), ("1", "0"))}, "circle"),
        ({"before": (("0", "9"),)}, "not in the chain"),
        ({"nodes": ["attic", None]}, "attic"),
        ({"probability": (0, 0)}, "above zero"),
        ({"minutes": (1, -1)}, "-1 minutes"),
        ({"finds": (1.2, 1)}, "between 0 and 1"),
        ({"known_at": 1.5}, "known_at"),
        ({"access": (AccessNode("a", "b", 1, 1), AccessNode("b", "a", 1, 1))}, "circle"),
    ],
)
def test_an_inconsistent_chain_is_refused_with_the_reason(change, said):
    with pytest.raises(ValueError, match=said):
        one_test_per_cause(**({"probability": (0.5, 0.5), "minutes": (1, 2)} | change))


def test_an_order_with_a_stranger_or_a_repeat_is_refused():
    chain = one_test_per_cause((0.5, 0.5), (1, 2))
    with pytest.raises(ValueError, match="not in the chain"):
        expected_minutes(chain, ("0", "9"))
    with pytest.raises(ValueError, match="twice"):
        expected_minutes(chain, ("0", "0"))
