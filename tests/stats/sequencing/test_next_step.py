"""The next best test: Bayes by hand, the fixed order as a bound, opened nodes, safety rules."""

import numpy as np
import pytest
from pytest import approx

from dashboard.stats.sequencing.chain import AccessNode, Chain, ChainTest
from dashboard.stats.sequencing.exact import best_order
from dashboard.stats.sequencing.next_step import (
    NextTest,
    Verdict,
    is_close,
    next_tests,
    posterior,
)
from tests.references import order_of_tests as reference
from tests.stats.chain_examples import one_test_per_cause, random_chain


def test_the_posterior_is_bayes_rule():
    """.5 x .05, .3 x .9, .2 x .1 are as 5 : 54 : 4; then inside: 5 x .95, 54 x .1, 4 x .9."""
    outside = {"a": 0.05, "b": 0.9, "c": 0.1}
    tests = tuple(ChainTest(name, 1, outside, frozenset("b")) for name in ("first", "second"))
    chain = Chain({"a": 0.5, "b": 0.3, "c": 0.2}, tests)
    once = posterior(chain, [Verdict("first", True)])
    assert list(once.values()) == approx([5 / 63, 54 / 63, 4 / 63])
    twice = posterior(chain, [Verdict("first", True), Verdict("second", False)])
    weights = np.array([5 * 0.95, 54 * 0.1, 4 * 0.9])
    assert list(twice.values()) == approx(weights / weights.sum())


def test_without_readings_the_first_test_is_that_of_the_best_order():
    """Perfect tests, one per cause: what is read changes nothing in the order that follows."""
    for probability, cost, least, best, _ in reference.RATIO_RULE:
        found = next_tests(one_test_per_cause(probability, cost), ())
        assert found[0].minutes_to_go == approx(least)
        assert int(found[0].test) in {order[0] for order in best}
        assert len(found) == len(cost)


def test_adapting_to_what_is_read_never_costs_more_than_the_best_fixed_order():
    rng = np.random.default_rng(7)
    for _ in range(60):
        chain = random_chain(rng, int(rng.integers(1, 7)))
        assert next_tests(chain, ())[0].minutes_to_go <= best_order(chain).minutes + 1e-9


def test_a_test_that_only_narrows_comes_first_when_it_halves_the_suspects():
    """Four suspects, 10 minutes each; one minute decides which two are left."""
    causes = dict.fromkeys("abcd", 0.25)
    ohms = tuple(ChainTest(c, 10, {x: float(x == c) for x in causes}, frozenset(c)) for c in causes)
    halves = ChainTest("current", 1, {c: float(c in "ab") for c in causes}, frozenset())
    best = next_tests(Chain(causes, (*ohms, halves)), ())[0]
    assert (best.test, best.outside_chance) == ("current", approx(0.5))
    assert best.minutes_to_go == approx(1 + (10 + 20) / 2 + 0)


def test_a_node_already_open_costs_nothing_more():
    access = (AccessNode("rear", None, 5, 7),)
    chain = one_test_per_cause(
        (0.4, 0.3, 0.3), (3, 2, 2), nodes=["rear", "rear", None], access=access
    )
    fresh = {each.test: each.minutes_to_go for each in next_tests(chain, ())}
    assert fresh["0"] == approx(12 + 3 + 0.6 * 2 + 0.3 * 2)
    after = {each.test: each.minutes_to_go for each in next_tests(chain, [Verdict("0", False)])}
    assert after == approx({"1": 2 + 0.5 * 2, "2": 2 + 0.5 * 2})


def test_a_test_that_must_wait_is_not_offered():
    chain = one_test_per_cause((0.9, 0.1), (1, 50), before=(("1", "0"),))
    assert [each.test for each in next_tests(chain, ())] == ["1"]
    assert [each.test for each in next_tests(chain, [Verdict("1", False)])] == ["0"]


def test_nothing_is_offered_when_the_cause_is_known_or_every_test_is_made():
    chain = one_test_per_cause((0.5, 0.5), (1, 2), known_at=0.99)
    assert next_tests(chain, [Verdict("0", False)]) == ()
    imperfect = one_test_per_cause((0.5, 0.5), (1, 2), finds=(0.5, 0.5))
    assert next_tests(imperfect, [Verdict("0", False), Verdict("1", False)]) == ()


def test_a_stranger_and_an_impossible_reading_are_refused():
    chain = one_test_per_cause((0.5, 0.5), (1, 2))
    with pytest.raises(ValueError, match="not a test of this chain"):
        next_tests(chain, [Verdict("9", True)])
    with pytest.raises(ValueError, match="repeat it"):
        next_tests(chain, [Verdict("0", False), Verdict("1", False)])


def test_there_is_no_clear_winner_when_all_lie_within_a_minute():
    def offered(*minutes: float) -> list[NextTest]:
        return [NextTest(f"t{place}", each, 0.1) for place, each in enumerate(minutes)]

    assert is_close(offered(10, 10.2, 10.5, 10.9, 11))
    assert not is_close(offered(10, 10.2, 10.5, 10.9, 11.1))
    assert not is_close(offered(10)) and not is_close([])
