"""Groups of jobs against what the rest of the shop shows on the same work."""

import pandas as pd

from dashboard.fairness.sentences import VERDICTS
from dashboard.stats import funnel
from dashboard.text.format import rate


def compared(table: pd.DataFrame, count: str, of: str, least: int) -> pd.DataFrame:
    """Add expected rate, words and verdict to groups that have any jobs, alphabetically.

    Columns label, rate, low, high, expected, `count` and `of`. Without an expected number (nobody
    else does such work) there is no verdict; with fewer than `least` jobs it is "too few".
    """
    result = table[table[of] > 0].copy()
    result["expected_rate"] = result["expected"].astype(float) / result[of]
    rows = list(result.itertuples())
    result["words"] = [rate(getattr(r, count), getattr(r, of), r.low, r.high) for r in rows]
    verdicts = funnel.verdicts(result["rate"], result[of], result["expected_rate"].fillna(0))
    result["verdict"] = pd.Series(verdicts, result.index, object).fillna("inside")
    result.loc[result[of] < least, "verdict"] = "too few"
    result["verdict_words"] = result["verdict"].map(VERDICTS)
    return result.sort_values("label", kind="stable").reset_index(drop=True)
