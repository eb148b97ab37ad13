"""The next best test, given what has been read so far."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from dashboard.stats.accuracy import update_mix
from dashboard.stats.sequencing.chain import Chain, ChainTest
from dashboard.stats.sequencing.exact import best_order

CLOSE_MIN = 1.0  # expected minutes apart below which no test is the better one; judgement


@dataclass(frozen=True)
class Verdict:
    """A reading's result: `is_outside` False means inside. Doubtful readings are left out."""

    test: str
    is_outside: bool


@dataclass(frozen=True)
class NextTest:
    """A test that could be made now and what follows from it.

    `minutes_to_go`: expected minutes until the fault is found, this test included, when the others
    follow in the best order for what it read. `outside_chance`: how likely it reads outside.
    """

    test: str
    minutes_to_go: float
    outside_chance: float


def posterior(chain: Chain, verdicts: Sequence[Verdict]) -> dict[str, float]:
    """Return the probability of each cause after the readings, by Bayes' rule.

    Readings are taken as independent given the cause. No readings: the chain's own mix. Raises
    ValueError for an unknown test, or for readings that no cause of the chain can give.
    """
    by_name = {test.name: test for test in chain.tests}
    mix = chain.mix
    for verdict in verdicts:
        if verdict.test not in by_name:
            raise ValueError(f"readings: {verdict.test} is not a test of this chain")
        outside = by_name[verdict.test].outside_given
        likelihood = {c: outside[c] if verdict.is_outside else 1 - outside[c] for c in mix}
        mix = update_mix(mix, likelihood)
    return mix


def next_tests(chain: Chain, verdicts: Sequence[Verdict]) -> tuple[NextTest, ...]:
    """Return the tests that may be made now, the best first.

    Each is valued by its possible results: found, inside, or outside without settling the fault,
    then the best order under the posterior of that result (one-step rollout, Bertsekas 1997, from
    memory). So a test that only narrows gets its worth here, which no fixed order can give it.
    Nodes of the tests already made count as open; closing them is owed anyway and left out. Tests
    whose rule in `before` is not met are not offered. Ties go to the test listed first. () when
    no test is left, or when one cause has reached `known_at`. Raises as `posterior`.
    """
    left = _left_over(chain, verdicts)
    if chain.known_at is not None and max(left.mix.values()) >= chain.known_at:
        return ()
    waiting = {later for _, later in left.before}
    offered = [_value(left, test) for test in left.tests if test.name not in waiting]
    return tuple(sorted(offered, key=lambda each: round(each.minutes_to_go, 9)))


def is_close(offered: Sequence[NextTest], within_min: float = CLOSE_MIN) -> bool:
    """Return True if the first tests are so alike that none is the best: there is no clear winner.

    `offered`: the tests shown, the best first. All must lie within so many minutes;
    one or none: False.
    """
    return len(offered) > 1 and offered[-1].minutes_to_go - offered[0].minutes_to_go <= within_min


def _left_over(chain: Chain, verdicts: Sequence[Verdict]) -> Chain:
    """Return the chain that remains: posterior mix, tests not made, opened nodes free."""
    return _without(chain, {verdict.test for verdict in verdicts}, posterior(chain, verdicts))


def _without(chain: Chain, made: set[str], mix: dict[str, float]) -> Chain:
    opened = {node for test in chain.tests if test.name in made for node in chain.path(test)}
    return replace(
        chain,
        causes=mix,
        tests=tuple(test for test in chain.tests if test.name not in made),
        access=tuple(
            replace(node, open_min=0.0, close_min=0.0) if node in opened else node
            for node in chain.access
        ),
        before=tuple((a, b) for a, b in chain.before if a not in made and b not in made),
    )


def _value(chain: Chain, test: ChainTest) -> NextTest:
    mix, outside = chain.mix, test.outside_given
    inside = {cause: p * (1 - outside[cause]) for cause, p in mix.items()}
    unsettled = {c: p * outside[c] for c, p in mix.items() if c not in test.condemns}
    opening = sum(node.open_min + node.close_min for node in chain.path(test))
    minutes = test.minutes + opening
    for branch in (inside, {cause: unsettled.get(cause, 0.0) for cause in mix}):
        chance = sum(branch.values())
        if chance > 0:
            minutes += chance * best_order(_without(chain, {test.name}, branch)).minutes
    return NextTest(test.name, minutes, 1 - sum(inside.values()))
