"""Chains for the tests: drawn small, or at random."""

from itertools import permutations

import numpy as np

from dashboard.stats.sequencing.chain import AccessNode, Chain, ChainTest


def one_test_per_cause(probability, minutes, finds=None, nodes=None, **chain):
    """Return a chain in which test i looks for cause i only."""
    causes = {f"cause {i}": p for i, p in enumerate(probability)}
    tests = tuple(
        ChainTest(
            name=str(i),
            minutes=cost,
            outside_given={c: (finds[i] if finds else 1.0) * (c == f"cause {i}") for c in causes},
            condemns=frozenset({f"cause {i}"}),
            node=nodes[i] if nodes else None,
        )
        for i, cost in enumerate(minutes)
    )
    return Chain(causes, tests, **chain)


def random_chain(rng, tests, known_at=None):
    """Return a chain with imperfect tests, a teardown tree of depth two and a few rules."""
    causes = {f"c{i}": float(p) for i, p in enumerate(rng.dirichlet(np.ones(rng.integers(2, 7))))}
    nodes = [AccessNode("outer", None, *rng.integers(0, 9, 2).tolist())]
    nodes += [AccessNode("inner", "outer", *rng.integers(0, 9, 2).tolist())]
    nodes += [AccessNode("side", None, *rng.integers(0, 9, 2).tolist())]
    places = [None, "outer", "inner", "side"]
    drawn = tuple(
        ChainTest(
            name=f"t{i}",
            minutes=float(rng.integers(0, 10)),
            outside_given={c: float(rng.choice([0.03, 0.3, 0.8, 1.0])) for c in causes},
            condemns=frozenset(c for c in causes if rng.random() < 0.4),
            node=places[rng.integers(4)],
        )
        for i in range(tests)
    )
    pairs = [(f"t{a}", f"t{b}") for a in range(tests) for b in range(a) if rng.random() < 0.15]
    return Chain(causes, drawn, tuple(nodes), tuple(pairs), known_at)


def least_minutes_by_trying_every_order(chain):
    """Return the least expected minutes over every permutation that keeps the rules."""
    orders = np.array(list(permutations(range(len(chain.tests)))), int)
    place = np.argsort(orders, axis=1)
    for earlier, later in chain.before:
        a, b = chain.names.index(earlier), chain.names.index(later)
        keeps = place[:, a] < place[:, b]
        orders, place = orders[keeps], place[keeps]
    finds = np.array([[t.finds(c) for c in chain.causes] for t in chain.tests])
    needs = np.array([[n in chain.path(t) for n in chain.access] for t in chain.tests], bool)
    node_min = np.array([n.open_min + n.close_min for n in chain.access])
    test_min = np.array([t.minutes for t in chain.tests])
    unfound = np.tile(np.array(list(chain.mix.values())), (len(orders), 1))
    opened = np.zeros((len(orders), len(chain.access)), bool)
    total, running = np.zeros(len(orders)), np.ones(len(orders), bool)
    for tests in orders.T:
        if chain.known_at is not None:
            running &= unfound.max(axis=1) < chain.known_at * unfound.sum(axis=1)
        opening = ((needs[tests] & ~opened) * node_min).sum(axis=1)
        total += running * unfound.sum(axis=1) * (test_min[tests] + opening)
        opened |= needs[tests]
        unfound = unfound * (1 - finds[tests])
    return total.min()
