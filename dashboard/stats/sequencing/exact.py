"""The order of tests that minimises the expected minutes until the fault is found.

The model. Exactly one cause is present. Given the cause, readings are independent. Tests are made
in a fixed order, each once, whatever the earlier ones read. The fault counts as found when a test
that condemns the true cause reads outside. A false outside reading on another part ends nothing: it
is repeated and does not hold. When every test is done the search ends, found or not. With
`known_at` the search also ends when one cause has become that likely because nothing was found.
A test that only narrows finds nothing, so every best order puts it last and a shop that makes it
early looks slow: compare orders of the tests that condemn (`finding_tests`), and see
`next_step`.
So the chance that the fault is still unfound depends only on the *set* of tests made:
    unfound(S) = sum over causes c of p(c) * product over t in S of (1 - finds(t, c))
and the minutes for a set are spent(S) = test minutes + opening and closing of the nodes it needs,
each once (closing is owed from the moment a node is open). An order costs
    sum over steps of unfound(before the step) * (spent(after) - spent(before)),
which makes dynamic programming over sets exact (Held & Karp 1962, J SIAM 10:196, from memory).
With one test per cause and nothing to open it is the ratio rule, highest probability per minute
first (Smith 1956); with shared opening or elimination that rule fails and the search does not.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from dashboard.stats.sequencing.beam_search import beam_order
from dashboard.stats.sequencing.chain import Chain, is_same_minutes

EXACT_TESTS = 18  # 2^18 sets: below a second and 20 MB


@dataclass(frozen=True)
class Step:
    """One test in an order: what it adds and how likely the search still runs then."""

    test: str
    opened: tuple[str, ...]
    minutes: float
    chance_reached: float
    found_by_then: float


@dataclass(frozen=True)
class BestOrder:
    """An order, its expected minutes, and how far from the best it can be (0 when exact)."""

    tests: tuple[str, ...]
    minutes: float
    lower_bound: float

    @property
    def is_exact(self) -> bool:
        return is_same_minutes(self.minutes, self.lower_bound)


def steps(chain: Chain, order: Sequence[str]) -> tuple[Step, ...]:
    """Walk an order test by test.

    `order` may leave tests out (the shop never makes them) but names none twice; the rules in
    `chain.before` are not enforced here, see `broken_rules`. Minutes of a step hold opening, test
    and the closing owed later. Steps after the search has ended by elimination have
    `chance_reached` 0. An empty order gives (). Raises ValueError for an unknown or repeated test.
    """
    _refuse_strangers(chain, order)
    by_name = {test.name: test for test in chain.tests}
    unfound, opened, walked = chain.mix, set(), []
    reached = _chance_still_searching(chain, unfound)
    for name in order:
        test = by_name[name]
        new = [node for node in chain.path(test) if node.name not in opened]
        opened |= {node.name for node in new}
        minutes = test.minutes + sum(node.open_min + node.close_min for node in new)
        unfound = {cause: p * (1 - test.finds(cause)) for cause, p in unfound.items()}
        names = tuple(node.name for node in new)
        walked.append(Step(name, names, minutes, reached, 1 - sum(unfound.values())))
        reached = min(reached, _chance_still_searching(chain, unfound))
    return tuple(walked)


def expected_minutes(chain: Chain, order: Sequence[str]) -> float:
    """Return the expected minutes of an order until the fault is found or the order is done.

    Only orders of the same tests may be compared: one that leaves tests out ends sooner by finding
    less. Empty order: 0. Raises as `steps`.
    """
    return float(sum(step.minutes * step.chance_reached for step in steps(chain, order)))


def best_order(chain: Chain) -> BestOrder:
    """Return the order of all tests with the fewest expected minutes, `chain.before` kept.

    Exact up to 18 tests; beyond, a beam search with a proven lower bound. Ties go to
    the test listed first. No tests: empty order, 0 minutes.
    """
    if len(chain.tests) > EXACT_TESTS:
        return BestOrder(*beam_order(chain))
    pick, minutes = _search_sets(chain)
    done, order = 0, []
    for _ in chain.tests:
        order.append(int(pick[done]))
        done |= 1 << order[-1]
    return BestOrder(tuple(chain.names[test] for test in order), minutes, minutes)


def broken_rules(chain: Chain, order: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Return the pairs of `chain.before` that an order breaks (later test made first)."""
    place = {name: position for position, name in enumerate(order)}
    late = len(place)
    return tuple(
        (earlier, later)
        for earlier, later in chain.before
        if place.get(later, late) < place.get(earlier, late)
    )


def where_orders_part(first: Sequence[str], second: Sequence[str]) -> int | None:
    """Return the 0-based position of the first different test, None for equal orders."""
    for position, (one, other) in enumerate(zip(first, second, strict=False)):
        if one != other:
            return position
    return None if len(first) == len(second) else min(len(first), len(second))


def _refuse_strangers(chain: Chain, order: Sequence[str]) -> None:
    strange = sorted(set(order) - set(chain.names))
    if strange:
        raise ValueError(f"order: {strange} not in the chain")
    if len(set(order)) < len(order):
        raise ValueError("order: a test stands twice, wanted each at most once")


def _chance_still_searching(chain: Chain, unfound: dict[str, float]) -> float:
    left = sum(unfound.values())
    if chain.known_at is not None and max(unfound.values()) >= chain.known_at * left:
        return 0.0
    return left


def _search_sets(chain: Chain) -> tuple[np.ndarray, float]:
    """Return the best next test for every set of tests done, and the minutes from the empty set."""
    needs = chain.needs
    unfound, spent = _unfound(chain), _spent(chain)
    minutes, pick = np.zeros(len(spent)), np.full(len(spent), -1, np.int8)
    for done in reversed(_sets_by_size(len(chain.tests))[:-1]):
        best = np.full(len(done), np.inf)
        for test, needed in enumerate(needs):
            after = done | (1 << test)
            cost = unfound[done] * (spent[after] - spent[done]) + minutes[after]
            is_allowed = (after != done) & (done & needed == needed)
            is_better = is_allowed & (cost < best - 1e-12)  # a tie stays with the earlier test
            best[is_better] = cost[is_better]
            pick[done[is_better]] = test
        minutes[done] = np.where(unfound[done] > 0, best, 0.0)
    return pick, float(minutes[0])


@cache
def _sets_by_size(tests: int) -> list[np.ndarray]:
    size = np.zeros(1, int)
    for _ in range(tests):
        size = np.concatenate([size, size + 1])
    return [np.flatnonzero(size == wanted) for wanted in range(tests + 1)]


def _unfound(chain: Chain) -> np.ndarray:
    """Return the chance that the search still runs after each set (bit i = test i is done)."""
    total, largest = np.zeros(1), np.zeros(1)
    for cause, p in chain.mix.items():
        missed = np.array([p])
        for test in chain.tests:
            missed = np.concatenate([missed, missed * (1 - test.finds(cause))])
        total, largest = total + missed, np.maximum(largest, missed)
    if chain.known_at is not None:
        total = np.where(largest >= chain.known_at * total, 0.0, total)
    return total


def _spent(chain: Chain) -> np.ndarray:
    """Return the minutes for each set: tests, and every needed node opened and closed once."""
    minutes = np.zeros(1)
    for test in chain.tests:
        minutes = np.concatenate([minutes, minutes + test.minutes])
    sets = np.arange(len(minutes))
    for node in chain.access:
        below = sum(1 << i for i, test in enumerate(chain.tests) if node in chain.path(test))
        minutes += (node.open_min + node.close_min) * (sets & below != 0)
    return minutes
