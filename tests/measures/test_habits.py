"""What a habit costs: the Mantel–Haenszel risk ratio in SQL against statsmodels and a table."""

import duckdb
import numpy as np
import pytest
from hypothesis import given, settings, strategies
from statsmodels.stats.contingency_tables import StratifiedTable

import sql

# deaths and all women by receptor level (low, high) in stages I, II, III of breast cancer: Newman
# 2001, Biostatistical Methods in Epidemiology, table 5.3, as in the examples of the R package risks
STAGES = [(2, 12, 5, 55), (9, 22, 17, 74), (12, 14, 9, 15)]
NO_DIFFERENCE = dict.fromkeys(
    ("from_date", "to_date", "branch", "technician", "appliance_kind", "symptom", "window_days")
)


def habit(strata: list[tuple[int, int, int, int]]) -> dict:
    """Return the row of not_tested for strata of (wrong with, jobs with, wrong without, without)."""
    rows = []
    for number, (wrong_with, n_with, wrong_without, n_without) in enumerate(strata):
        for has_habit, wrong, n in ((True, wrong_with, n_with), (False, wrong_without, n_without)):
            rows += [f"('washer', 's{number}', {has_habit}, {i < wrong})" for i in range(n)]
    names = "appliance_kind, symptom, is_not_tested, is_wrong"
    with duckdb.connect() as connection:
        connection.execute(
            "CREATE SCHEMA core; CREATE MACRO core.patterns_in(a, b, c, d, e, f, g, h, i) AS TABLE "
            "SELECT *, NULL::BOOLEAN AS is_against, NULL::BOOLEAN AS is_missed, "
            "NULL::BOOLEAN AS is_several, "
            f"FROM (VALUES {', '.join(rows)}) AS jobs({names})"
        )
        table = connection.execute(sql.text("pages/habits"), NO_DIFFERENCE).df()
    (row,) = table[table["habit"] == "not_tested"].to_dict("records")
    return row


def test_the_ratio_and_interval_of_a_published_table():
    """1.618 (1.094–2.395), error 0.1999 of the log by Greenland and Robins, by hand."""
    row = habit(STAGES)
    assert row["rate_with"] == pytest.approx(23 / 48)
    assert row["ratio"] == pytest.approx(1.61842, abs=5e-6)
    assert (row["low"], row["high"]) == pytest.approx((1.09377, 2.39474), rel=1e-4)


cells = strategies.tuples(
    strategies.integers(1, 12), strategies.integers(0, 12),
    strategies.integers(1, 12), strategies.integers(0, 12),
)  # fmt: skip


@settings(max_examples=25, deadline=None, derandomize=True)
@given(strategies.lists(cells, min_size=1, max_size=5))
def test_the_ratio_is_that_of_statsmodels(drawn: list[tuple[int, int, int, int]]):
    """StratifiedTable.riskratio_pooled, strata of (wrong, right) with and without the habit."""
    tables = [np.array([[a, b], [c, d]], float) for a, b, c, d in drawn]
    row = habit([(a, a + b, c, c + d) for a, b, c, d in drawn])
    assert row["ratio"] == pytest.approx(StratifiedTable(tables).riskratio_pooled)
    assert row["low"] < row["ratio"] < row["high"] or row["low"] == pytest.approx(row["high"])


def test_the_interval_of_one_stratum_is_that_of_a_single_risk_ratio():
    """One table: log ratio with the variance 1/a - 1/n1 + 1/c - 1/n0 (Katz et al. 1978)."""
    row = habit([(24, 100, 9, 100)])
    error = (1 / 24 - 1 / 100 + 1 / 9 - 1 / 100) ** 0.5
    assert np.log(row["high"] / row["ratio"]) == pytest.approx(1.959964 * error)
