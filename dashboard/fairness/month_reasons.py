"""What SQL cannot compute of the month: the normal range of each part of its departure."""

from collections.abc import Callable

import pandas as pd

from dashboard.rows import Row, each_row
from dashboard.stats.prediction import DIFFERENT, LOOK, count_limits

Rows = Callable[[str], pd.DataFrame]
LEVELS = ((DIFFERENT, "different"), (LOOK, "look"))


def month_reasons(table: pd.DataFrame, rows: Rows) -> pd.DataFrame:
    """Add low, high (normal range, 99.8%) and verdict: inside, look (beyond 95%), different.

    A reason is judged by its own normal. A technician, appliance or part is different only where it
    also differs from how the rest of the month went (where all are worse, none of them is the
    reason), and never merely worth a look: of many parts some always are. Rows is_mix and rows
    without a baseline have no verdict. An empty table stays empty.
    """
    found = [_judged(row) for row in each_row(table)]
    judged = pd.DataFrame(found, columns=["low", "high", "verdict"], index=table.index)
    judged[["low", "high"]] = judged[["low", "high"]].astype(float)
    judged["verdict"] = judged["verdict"].astype(object)
    return table.drop(columns="is_grouped").join(judged)


def _judged(row: Row) -> tuple[float | None, float | None, str | None]:
    if row.is_mix or pd.isna(row.base_jobs) or row.base_jobs == 0:
        return None, None, None
    hits, jobs = float(row.base_not_fixed), float(row.base_jobs)
    low, high = count_limits(int(row.jobs), hits, jobs, DIFFERENT)
    verdict = _verdict(row, hits, jobs)
    if row.is_grouped:
        both = {verdict, _verdict(row, hits * _rest(row), jobs)}
        verdict = "different" if both == {"different"} else "inside"
    return low, high, verdict


def _rest(row: Row) -> float:
    """Return how the rest of the month went against its normal: 1 = as usual.

    Never more than makes every job of the row one that was not fixed.
    """
    expected = row.month_expected - row.expected
    ratio = (row.month_not_fixed - row.not_fixed) / expected if expected > 0 else 1.0
    return min(ratio, row.base_jobs / row.base_not_fixed) if row.base_not_fixed else 1.0


def _verdict(row: Row, hits: float, jobs: float) -> str:
    for tail, name in LEVELS:
        low, high = count_limits(int(row.jobs), hits, jobs, tail)
        if not low <= row.not_fixed <= high:
            return name
    return "inside"
