"""What SQL cannot compute of the diagnosis measures: power of tests, best order of tests."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import pandas as pd

from dashboard.diagnosis.chain_rows import ChainRows, Rows, chain_rows
from dashboard.diagnosis.chains import finding_chain
from dashboard.rows import Row, each_row
from dashboard.stats.accuracy import (
    VerifiedTable,
    begg_greenes,
    power_of_test,
    sensitivity_bounds,
    specificity_bounds,
)
from dashboard.stats.sequencing.cause_prior import blend
from dashboard.stats.sequencing.chain import Chain
from dashboard.stats.sequencing.exact import BestOrder, best_order
from dashboard.stats.sequencing.saving import Saving, order_saving

COUNT_COLUMNS = ["symptom", "cause", "test_point", "tp", "fp", "fn", "tn"]
POWER_COLUMNS = (
    "sensitivity", "sens_low", "sens_high", "specificity", "spec_low", "spec_high",
    "lr_pos", "lr_neg", "lr_pos_low", "lr_pos_high", "lr_neg_low", "lr_neg_high",
    "sens_lowest", "sens_highest", "spec_lowest", "spec_highest", "sens_corrected",
    "spec_corrected",
)  # fmt: skip
ORDER_COLUMNS = [
    "symptom",
    "appliance_kind",
    "position",
    "test_point",
    "usual_position",
    "expected_minutes",
    "usual_expected_minutes",
]


@dataclass(frozen=True)
class Proposal:
    """The best order of a complaint and the shop's usual one, over the same tests."""

    chain: Chain
    usual: tuple[str, ...]
    best: BestOrder
    saving: Saving


def propose(
    rows: ChainRows,
    minutes: Mapping[str, float] | None = None,
    counts: Mapping[str, int] | None = None,
    weights: Mapping[str, float] | None = None,
) -> Proposal:
    """Return the best order and what it saves; `minutes`, `counts`, `weights` replace the shop's.

    Only tests that condemn a part are ordered. No such test: empty orders, 0 minutes.
    """
    counts = rows.counts if counts is None else counts
    weights = rows.weights if weights is None else weights
    chain = finding_chain(rows, minutes, blend(counts, weights))
    usual = tuple(name for name in rows.usual if name in chain.names)
    best = best_order(chain)
    return Proposal(chain, usual, best, order_saving(chain, usual, best.tests, counts, weights))


def power_of_tests(table: pd.DataFrame, rows: Rows) -> pd.DataFrame:
    """Add sensitivity, specificity, likelihood ratios and bounds to the counts of each test.

    Columns as in the README, the further ones after them. An empty table gets the columns only.
    """
    figures = pd.DataFrame(
        [_figures(row) for row in each_row(table)], columns=POWER_COLUMNS, index=table.index
    ).astype(float)
    others = [name for name in table.columns if name not in COUNT_COLUMNS]
    return pd.concat([table, figures], axis=1)[[*COUNT_COLUMNS, *POWER_COLUMNS, *others]]


def _figures(row: Row) -> tuple[float | None, ...]:
    power = power_of_test(row.tp, row.fn, row.fp, row.tn)
    verified = VerifiedTable(
        row.tp, row.fp, row.fn, row.tn, row.unverified_outside, row.unverified_inside
    )
    shares = (power.sensitivity, power.specificity)
    ratios = (power.ratio_outside, power.ratio_inside)
    return (
        *(edge for each in shares for edge in (each.value, each.low, each.high)),
        *(each.value for each in ratios),
        *(edge for each in ratios for edge in (each.low, each.high)),
        *sensitivity_bounds(verified),
        *specificity_bounds(verified),
        *begg_greenes(verified),
    )


def order_of_tests(table: pd.DataFrame, rows: Rows) -> pd.DataFrame:
    """Add the best order and both expected minutes; tests in no order have no position.

    One row per test, the best order first. An empty table gets the columns only.
    """
    parts = [
        _with_order(each.tests, propose(each)) for each in chain_rows(table, rows).values()
    ] or [table.assign(expected_minutes=None, usual_expected_minutes=None)]
    joined = pd.concat(parts, ignore_index=True)
    return joined[ORDER_COLUMNS + [name for name in joined.columns if name not in ORDER_COLUMNS]]


def _with_order(tests: pd.DataFrame, proposal: Proposal) -> pd.DataFrame:
    place = {name: position for position, name in enumerate(proposal.best.tests, start=1)}
    result = tests.assign(
        position=tests["test_point"].map(place).astype("Int64"),
        expected_minutes=proposal.saving.better_min,
        usual_expected_minutes=proposal.saving.usual_min,
    )
    return result.sort_values(["position", "usual_position"]).reset_index(drop=True)


def mix_up_matrix(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the square matrix of jobs, first diagnosis by final cause, most jobs first.

    Rows of the measure mix_ups.
    """
    matrix = rows.pivot_table(
        index="first_component",
        columns="final_component",
        values="jobs",
        aggfunc="sum",
        fill_value=0,
    )
    causes = matrix.index.union(matrix.columns)
    matrix = matrix.reindex(index=causes, columns=causes, fill_value=0)
    jobs = matrix.sum(axis=1) + matrix.sum(axis=0)
    order = jobs.sort_index().sort_values(ascending=False, kind="stable").index
    return matrix.loc[order, order]


Compute = Callable[[pd.DataFrame, Rows], pd.DataFrame]
COMPUTE: dict[str, Compute] = {
    "power_of_tests": power_of_tests,
    "order_of_tests": order_of_tests,
}
