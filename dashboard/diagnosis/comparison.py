"""Groups of jobs against what the rest of the shop shows on the same work, in words."""

import pandas as pd

from dashboard.fairness.sentences import VERDICTS
from dashboard.text.format import rate


def compared(table: pd.DataFrame, count: str, of: str, least: int) -> pd.DataFrame:
    """Add expected rate, words and verdict to groups that have any jobs, alphabetically.

    Columns label, rate, low, high, `count`, `of` and those of evidence.compute.JUDGED. A group that
    nobody can be compared with has no verdict; with fewer than `least` jobs it is "too few".
    """
    result = table[table[of] > 0].copy()
    result["expected_rate"] = result["expected"].astype(float) / result[of]
    rows = list(result.itertuples())
    result["words"] = [rate(getattr(r, count), getattr(r, of), r.low, r.high) for r in rows]
    result["verdict"] = result["funnel"].fillna("not compared")
    result.loc[result[of] < least, "verdict"] = "too few"
    result["verdict_words"] = result["verdict"].map(VERDICTS)
    return result.sort_values("label", kind="stable").reset_index(drop=True)
