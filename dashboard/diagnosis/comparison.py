"""Groups of jobs against what the rest of the shop shows on the same work, in words."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

import pandas as pd

from dashboard.fairness.sentences import VERDICTS
from dashboard.rows import each_row
from dashboard.text.format import rate


def compared(table: pd.DataFrame, count: str, of: str, least: int) -> pd.DataFrame:
    """Add expected rate, words and verdict to groups that have any jobs, alphabetically.

    Columns label, rate, low, high, `count`, `of` and those of evidence.compute.JUDGED. A group that
    no other can be compared with has no verdict; with fewer than `least` jobs it is "too few".
    """
    result = table[table[of] > 0].copy()
    result["expected_rate"] = result["expected"].astype(float) / result[of]
    rows = list(each_row(result))
    result["words"] = [rate(getattr(r, count), getattr(r, of), r.low, r.high) for r in rows]
    result["verdict"] = result["funnel"].fillna("not compared")
    result.loc[result[of] < least, "verdict"] = "too few"
    result["verdict_words"] = result["verdict"].map(VERDICTS)
    return result.sort_values("label", kind="stable").reset_index(drop=True)


@dataclass(frozen=True)
class Standout:
    """A group that shows a pattern far more often than expected: label, jobs, cost in money."""

    pattern: str
    label: str
    with_pattern: int
    asked: int
    expected: float
    cost: float | None


def clearest(tables: Mapping[str, pd.DataFrame]) -> Standout | None:
    """Return the group furthest above what is expected of it, in standard deviations of a count.

    `tables`: by pattern, rows of `compared` of the measure misdiagnosis. Only groups outside 99.8%
    limits; None without one.
    """
    found = [
        (
            (row.with_pattern - row.expected) / sqrt(row.expected),
            Standout(pattern, row.label, row.with_pattern, row.asked, row.expected, row.cost),
        )
        for pattern, table in tables.items()
        for row in each_row(table[table["verdict"] == "different"])
        if row.expected > 0 and row.with_pattern > row.expected
    ]
    return max(found, key=lambda each: each[0])[1] if found else None
