"""A diagnostic chain as data: causes, tests, the teardown tree and what must come before what."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from math import isclose, isfinite

ANSWERS_FROM = 0.5  # p(outside | cause) from which a test answers the question about a cause
CONDEMNS_AT_MOST = 2  # a test that speaks for more causes than this narrows, it condemns none


@dataclass(frozen=True)
class AccessNode:
    """One thing to open: `open_min` is paid once, `close_min` once at the end of the job."""

    name: str
    parent: str | None
    open_min: float
    close_min: float


@dataclass(frozen=True)
class ChainTest:
    """One test of the chain.

    `outside_given` is p(reading outside | cause) for every cause of the chain. `condemns` names the
    causes that an outside reading of this test settles; a test that condemns none only narrows.
    `node` is where the test is made (None: nothing to open).
    """

    name: str
    minutes: float
    outside_given: Mapping[str, float]
    condemns: frozenset[str]
    node: str | None = None
    energised: bool = False

    def finds(self, cause: str) -> float:
        """Return the chance that this test finds the fault, given the cause."""
        return self.outside_given[cause] if cause in self.condemns else 0.0


@dataclass(frozen=True)
class Chain:
    """A complaint's causes and tests.

    `causes` are probabilities, or weights: they are used after division by their sum. `before`
    holds pairs (earlier test, later test). `known_at` None: only a reading finds the fault. A
    number in (0, 1]: the search also ends when one cause reaches that probability because the
    others were not found (1 - 1e-9 = the last suspect is known by elimination).
    Raises ValueError, naming what is wrong and where, for an inconsistent chain.
    """

    causes: Mapping[str, float]
    tests: tuple[ChainTest, ...]
    access: tuple[AccessNode, ...] = ()
    before: tuple[tuple[str, str], ...] = ()
    known_at: float | None = None

    def __post_init__(self) -> None:
        _check_causes(self)
        _check_access(self)
        _check_tests(self)
        _check_before(self)

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(test.name for test in self.tests)

    @property
    def needs(self) -> tuple[int, ...]:
        """Return for each test the set of tests that must be done before it, as bits."""
        bit = {name: 1 << place for place, name in enumerate(self.names)}
        earlier = {later: {a for a, b in self.before if b == later} for later in self.names}
        return tuple(sum(bit[name] for name in earlier[later]) for later in self.names)

    @property
    def mix(self) -> dict[str, float]:
        total = sum(self.causes.values())
        return {cause: weight / total for cause, weight in self.causes.items()}

    def path(self, test: ChainTest) -> tuple[AccessNode, ...]:
        """Return the nodes to open for a test, the outermost first."""
        by_name = {node.name: node for node in self.access}
        nodes, name = [], test.node
        while name is not None:
            nodes.append(by_name[name])
            name = by_name[name].parent
        return tuple(reversed(nodes))


def finding_tests(chain: Chain) -> Chain:
    """Return the chain without the tests that condemn nothing, and without their rules.

    Orders of such a chain can be compared fairly: a test that only narrows saves time by what is
    skipped afterwards, which a fixed order cannot show.
    """
    kept = tuple(test for test in chain.tests if test.condemns)
    names = {test.name for test in kept}
    rules = tuple(pair for pair in chain.before if set(pair) <= names)
    return replace(chain, tests=kept, before=rules)


def condemned_by_power(
    outside_given: Mapping[str, float],
    answers_from: float = ANSWERS_FROM,
    at_most: int = CONDEMNS_AT_MOST,
) -> frozenset[str]:
    """Return the causes that a test condemns, judged by its power alone.

    Those with p(outside | cause) >= `answers_from`, or none when more than `at_most` reach it: such
    a test (supply current, cabinet temperature) halves the suspects but names no part. Where the
    component of test and cause is known, matching components is the better rule. Source: judgement.
    """
    answered = frozenset(cause for cause, p in outside_given.items() if p >= answers_from)
    return answered if len(answered) <= at_most else frozenset()


def dead_before_live(
    tests: tuple[ChainTest, ...], first: tuple[str, ...] = ()
) -> tuple[tuple[str, str], ...]:
    """Return the safety pairs (earlier, later) for `Chain.before`.

    A de-energised test comes before an energised one where both answer the question about a cause
    (p(outside | cause) >= 0.5). `first` are tests before all others, such as the supply check of a
    240 V appliance; among themselves they keep their order. Source: shop safety rules (live test
    only where it cannot be answered dead), common practice.
    """
    names = {test.name for test in tests}
    first = tuple(name for name in first if name in names)
    others = [test for test in tests if test.name not in first]
    pairs = [(name, test.name) for name in first for test in others]
    pairs += list(pairwise(first))
    dead = [test for test in others if not test.energised]
    live = [test for test in others if test.energised]
    pairs += [(d.name, v.name) for d in dead for v in live if _answered(d) & _answered(v)]
    return tuple(pairs)


def _answered(test: ChainTest) -> frozenset[str]:
    return frozenset(cause for cause, p in test.outside_given.items() if p >= ANSWERS_FROM)


def _check_causes(chain: Chain) -> None:
    weights = chain.causes.values()
    if not chain.causes or any(not isfinite(w) or w < 0 for w in weights) or sum(weights) <= 0:
        raise ValueError("causes: wanted weights of zero or more with a sum above zero")
    if chain.known_at is not None and not 0 < chain.known_at <= 1:
        raise ValueError(f"known_at is {chain.known_at}: wanted a number above 0 and up to 1")


def _check_access(chain: Chain) -> None:
    names = [node.name for node in chain.access]
    if len(set(names)) < len(names):
        raise ValueError("access: two nodes share a name, wanted each once")
    for node in chain.access:
        if node.parent is not None and node.parent not in names:
            raise ValueError(f"access: {node.name} hangs on {node.parent}, which is not listed")
        minutes = (node.open_min, node.close_min)
        if min(minutes) < 0 or not isfinite(sum(minutes)):
            raise ValueError(f"access: {node.name} opens and closes in {minutes}, wanted 0 or more")
    _refuse_loop({node.name: {node.parent} - {None} for node in chain.access}, "access")


def _check_tests(chain: Chain) -> None:
    if len(set(chain.names)) < len(chain.tests):
        raise ValueError("tests: two share a name, wanted each once")
    nodes = {node.name for node in chain.access} | {None}
    for test in chain.tests:
        if test.node not in nodes:
            raise ValueError(f"{test.name}: {test.node} is not in the access tree")
        if not isfinite(test.minutes) or test.minutes < 0:
            raise ValueError(f"{test.name}: {test.minutes} minutes, wanted 0 or more")
        missing = set(chain.causes) - set(test.outside_given) | test.condemns - set(chain.causes)
        if missing:
            raise ValueError(f"{test.name}: no p(outside | cause) for {sorted(missing)}")
        if any(not 0 <= p <= 1 for p in test.outside_given.values()):
            raise ValueError(f"{test.name}: p(outside | cause) must lie between 0 and 1")


def _check_before(chain: Chain) -> None:
    earlier_of: dict[str, set[str]] = {name: set() for name in chain.names}
    for earlier, later in chain.before:
        if not {earlier, later} <= set(chain.names):
            raise ValueError(f"before: ({earlier}, {later}) names a test that is not in the chain")
        earlier_of[later].add(earlier)
    _refuse_loop(earlier_of, "before")


def _refuse_loop(graph: Mapping[str, Iterable[str | None]], what: str) -> None:
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        raise ValueError(f"{what}: goes round in a circle: {' > '.join(error.args[1])}") from None


def is_same_minutes(first: float, second: float) -> bool:
    """Say whether two expected times are equal but for rounding."""
    return isclose(first, second, rel_tol=1e-9, abs_tol=1e-9)
