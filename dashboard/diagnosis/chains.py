"""Rows of a diagnostic chain → the chain that the search for the best order works on."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import pandas as pd

from dashboard.rows import Row, each_row
from dashboard.stats.sequencing.cause_prior import CauseMix, cause_mix
from dashboard.stats.sequencing.chain import (
    ANSWERS_FROM,
    CONDEMNS_AT_MOST,
    AccessNode,
    Chain,
    ChainTest,
    condemned_by_power,
    dead_before_live,
    finding_tests,
)

# no order is proposed for these: trained or certified people only (see cautions.csv)
NOT_ORDERED_PARTS = (
    "hv_section",
    "magnetron",
    "hv_diode",
    "hv_capacitor",
    "hv_transformer",
    "hv_inverter",
    "sealed_system",
)
UNLISTED = 0.03  # p(outside) of a sound part: misread, wrong state, temperature (trade judgement)
CERTAINTY = 0.02  # no test is infallible: a reading updates, it strikes no cause out
SPEAKS_FROM = 0.1  # p(outside | cause of the test's own part) above which it can find that cause


@dataclass(frozen=True)
class ChainRows:
    """One complaint's rows: tests (order_of_tests), causes, p(outside), teardown tree, limits."""

    tests: pd.DataFrame
    causes: pd.DataFrame
    matrix: pd.DataFrame
    access: pd.DataFrame
    limits: pd.DataFrame

    @property
    def counts(self) -> dict[str, int]:
        """Return the shop's own jobs by cause."""
        return dict(zip(self.causes["cause"], self.causes["jobs"].astype(int), strict=True))

    @property
    def weights(self) -> dict[str, float]:
        """Return the register's prior weight by cause."""
        return dict(zip(self.causes["cause"], self.causes["weight"], strict=True))

    @property
    def mix(self) -> CauseMix:
        """Return the shop's counts blended with the register's weights."""
        return cause_mix(self.counts, self.weights)

    @property
    def usual(self) -> list[str]:
        """Return the shop's usual order of all tests."""
        return self.tests.sort_values("usual_position")["test_point"].tolist()


Rows = Callable[[str], pd.DataFrame]


def chain_rows(tests: pd.DataFrame, rows: Rows) -> dict[tuple[str, str], ChainRows]:
    """Return the rows of every complaint in `tests`, by (appliance kind, complaint).

    `rows` gives the rows of a file of sql/pages under the same filters. No tests: empty.
    """
    causes, matrix = rows("pages/chain_causes"), rows("pages/chain_matrix")
    access = rows("pages/chain_access")
    limits = rows("pages/chain_limits")
    result = {}
    for (kind, symptom), group in tests.groupby(["appliance_kind", "symptom"], sort=True):
        kind, symptom = str(kind), str(symptom)
        result[kind, symptom] = ChainRows(
            group.reset_index(drop=True),
            _of(causes, kind, symptom),
            _of(matrix, kind, symptom),
            access[access["appliance_kind"] == kind],
            limits[limits["appliance_kind"] == kind],
        )
    return result


def _of(table: pd.DataFrame, kind: str, symptom: str) -> pd.DataFrame:
    return table[(table["appliance_kind"] == kind) & (table["symptom"] == symptom)]


def ordered_tests(rows: ChainRows) -> pd.DataFrame:
    """Return the tests that may be in a proposed order."""
    return rows.tests[~rows.tests["component"].isin(NOT_ORDERED_PARTS)]


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
        for row in each_row(ordered_tests(rows).sort_values("usual_position"))
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
    first = first_checks(rows)
    needed = (*needed_before(rows), *_dead_before_live(rows), *_gas_opened_last(rows))
    return Chain(shares, tests, nodes, _before(tests, first, needed))


def finding_chain(
    rows: ChainRows,
    minutes: Mapping[str, float] | None = None,
    mix: Mapping[str, float] | None = None,
) -> Chain:
    """Return the chain without the tests that only narrow: what orders are compared on."""
    return finding_tests(build_chain(rows, minutes, mix))


def first_checks(rows: ChainRows) -> tuple[str, ...]:
    """Return what comes before anything is opened: free looks, then the supply.

    The register marks them (sql/lookups/chains.csv, column rule), in its own order; not where the
    complaint itself shows that the supply is there, as on a machine that heats.
    """
    tests = ordered_tests(rows)
    marked = tests[tests["is_first"].astype(bool)]
    return tuple(marked.sort_values("register_position")["test_point"])


def needed_before(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (earlier, later) where a test can only be judged after others.

    The third winding of a compressor after the other two, a motor's balance after its windings.
    """
    tests = ordered_tests(rows)
    names = set(tests["test_point"])
    return tuple(
        (earlier, row.test_point)
        for row in each_row(tests)
        if isinstance(row.needs, str)
        for earlier in row.needs.split("|")
        if earlier in names
    )


def _dead_before_live(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (dead test, live test) of one part: what ohms answer is not asked with power on."""
    tests = ordered_tests(rows)
    is_hot = tests["hazards"].map(is_live) & (tests["quantity"] != "observation")
    pairs = tests[~is_hot].merge(tests[is_hot], on="component", suffixes=("_dead", "_live"))
    pairs = pairs[~pairs["is_energised_dead"].astype(bool)]
    return tuple(zip(pairs["test_point_dead"], pairs["test_point_live"], strict=True))


def _gas_opened_last(rows: ChainRows) -> tuple[tuple[str, str], ...]:
    """Return (any other test, gas test) for tests that open the gas: they come after all others."""
    tests = ordered_tests(rows)
    is_opened = tests["hazards"].astype(str).str.contains("gas_opened")
    names = tests["test_point"]
    return tuple((other, gas) for gas in names[is_opened] for other in names[~is_opened])


def is_live(hazards: object) -> bool:
    """Say whether a test exposes live parts; a look at a running machine, covers on, does not."""
    return "live" in str(hazards).split("|")


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
        is_live(row.hazards) and not _is_watched(row),
    )


def _is_watched(row: Row) -> bool:
    """Say whether nothing is touched: a running machine is watched before it is measured."""
    return bool(row.quantity == "observation")


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


def _before(
    tests: tuple[ChainTest, ...],
    first: tuple[str, ...],
    needed: tuple[tuple[str, str], ...] = (),
) -> tuple[tuple[str, str], ...]:
    """Return the pairs (earlier, later); `tests` are in the usual order.

    Dead before live where both answer the question; the first checks before everything that is
    opened or live (another look at the closed machine may come before them); a test after those
    that it needs; and a live test stays behind every dead one that the shop makes before it: so
    none moves forward because it is quicker.
    """
    looks = {test.name for test in tests if test.node == "none" and not test.energised}
    pairs = [(a, b) for a, b in dead_before_live(tests, first) if a not in first or b not in looks]
    pairs += [(a, b) for a, b in needed if b not in first]
    for place, test in enumerate(tests):
        if test.energised and test.name not in first:
            earlier = [dead.name for dead in tests[:place] if not dead.energised]
            pairs += [(dead, test.name) for dead in earlier if (test.name, dead) not in needed]
    return tuple(dict.fromkeys(pairs))
