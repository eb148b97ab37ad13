"""Rows of a diagnostic chain → the chain that the search for the best order works on."""

from collections.abc import Mapping

import pandas as pd

from dashboard.diagnosis.chain_rows import NOT_ORDERED_PARTS, ChainRows
from dashboard.diagnosis.order_rules import before, is_live, is_watched
from dashboard.rows import Row, each_row
from dashboard.stats.sequencing.chain import (
    ANSWERS_FROM,
    CONDEMNS_AT_MOST,
    AccessNode,
    Chain,
    ChainTest,
    condemned_by_power,
    finding_tests,
)

UNLISTED = 0.03  # p(outside) of a sound part: misread, wrong state, temperature (trade judgement)
CERTAINTY = 0.02  # no test is infallible: a reading updates, it strikes no cause out
SPEAKS_FROM = 0.1  # p(outside | cause of the test's own part) above which it can find that cause


def build_chain(
    rows: ChainRows,
    minutes: Mapping[str, float] | None = None,
    mix: Mapping[str, float] | None = None,
) -> Chain:
    """Return the chain of a complaint, narrowing tests included.

    `minutes` by test and `mix` by cause replace the shop's own. Raises ValueError as `Chain` for
    an inconsistent register.
    """
    shares = dict(mix) if mix else rows.mix.mix
    outside = _outside(rows.matrix)
    parts = dict(zip(rows.causes["cause"], rows.causes["component"], strict=True))
    tests = tuple(
        _chain_test(row, (minutes or {}).get(row.test_point), shares, outside, parts)
        for row in sorted(rows.ordered, key=lambda row: row.usual_position)
    )
    nodes = tuple(
        AccessNode(
            row.access_level,
            row.parent if isinstance(row.parent, str) else None,
            float(row.open_min),
            float(row.close_min),
        )
        for row in each_row(rows.access)
    )
    return Chain(shares, tests, nodes, before(rows, tests))


def finding_chain(
    rows: ChainRows,
    minutes: Mapping[str, float] | None = None,
    mix: Mapping[str, float] | None = None,
) -> Chain:
    """Return the chain without the tests that only narrow: what orders are compared on."""
    return finding_tests(build_chain(rows, minutes, mix))


def _chain_test(
    row: Row,
    minutes: float | None,
    shares: Mapping[str, float],
    outside: Mapping[tuple[str, str], float],
    parts: Mapping[str, str],
) -> ChainTest:
    given = {
        cause: min(max(outside.get((cause, row.test_point), UNLISTED), CERTAINTY), 1 - CERTAINTY)
        for cause in shares
    }
    return ChainTest(
        row.test_point,
        float(row.test_min if minutes is None else minutes),
        given,
        _condemned(row.component, given, parts),
        row.access_level,
        is_live(row.hazards) and not is_watched(row),
    )


def _condemned(
    component: str, given: Mapping[str, float], parts: Mapping[str, str]
) -> frozenset[str]:
    """Return the causes that an outside reading settles: those of the test's own part.

    A test that answers for more than two causes of other parts (a silent pump: pump, board, wire,
    switch) only narrows and settles none.
    """
    own = {c for c, p in given.items() if parts[c] == component and p > SPEAKS_FROM}
    others = {c for c, p in given.items() if parts[c] != component and p >= ANSWERS_FROM}
    if len(others) > CONDEMNS_AT_MOST:
        return frozenset()
    settled = own | condemned_by_power(given)
    return frozenset(c for c in settled if parts[c] not in (*NOT_ORDERED_PARTS, "none", "user"))


def _outside(matrix: pd.DataFrame) -> dict[tuple[str, str], float]:
    return {(row.cause, row.test_point): float(row.outside) for row in each_row(matrix)}
