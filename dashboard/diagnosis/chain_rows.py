"""The rows of a diagnostic chain: its tests, causes, chances, teardown tree and limits."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import pandas as pd

from dashboard.rows import Row, each_row
from dashboard.stats.sequencing.cause_prior import CauseMix, cause_mix

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
Rows = Callable[[str], pd.DataFrame]


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

    @cached_property
    def ordered(self) -> tuple[Row, ...]:
        """Return the tests that may be in a proposed order, row by row."""
        return tuple(each_row(ordered_tests(self)))

    @property
    def usual(self) -> list[str]:
        """Return the shop's usual order of all tests."""
        return self.tests.sort_values("usual_position")["test_point"].tolist()


def chain_rows(tests: pd.DataFrame, rows: Rows) -> dict[tuple[str, str], ChainRows]:
    """Return the rows of every complaint in `tests`, by (appliance kind, complaint).

    `rows` gives the rows of a file of sql/pages under the same filters. No tests: empty.
    """
    causes, matrix = rows("pages/chain_causes"), rows("pages/chain_matrix")
    access = rows("pages/chain_access")
    limits = rows("pages/chain_limits")
    causes_of, matrix_of = _by_complaint(causes), _by_complaint(matrix)
    access_of, limits_of = _by_kind(access), _by_kind(limits)
    result = {}
    for (kind, symptom), group in tests.groupby(["appliance_kind", "symptom"], sort=True):
        kind, symptom = str(kind), str(symptom)
        result[kind, symptom] = ChainRows(
            group.reset_index(drop=True),
            causes_of.get((kind, symptom), causes[:0]),
            matrix_of.get((kind, symptom), matrix[:0]),
            access_of.get(kind, access[:0]),
            limits_of.get(kind, limits[:0]),
        )
    return result


def _by_complaint(table: pd.DataFrame) -> dict[tuple[str, str], pd.DataFrame]:
    groups = table.groupby(["appliance_kind", "symptom"])
    return {(str(kind), str(symptom)): rows for (kind, symptom), rows in groups}


def _by_kind(table: pd.DataFrame) -> dict[str, pd.DataFrame]:
    return {str(kind): rows for kind, rows in table.groupby("appliance_kind")}


def ordered_tests(rows: ChainRows) -> pd.DataFrame:
    """Return the tests that may be in a proposed order."""
    return rows.tests[~rows.tests["component"].isin(NOT_ORDERED_PARTS)]
