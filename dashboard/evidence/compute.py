"""What SQL cannot compute of misdiagnosis: which groups differ by more than chance."""

from collections.abc import Callable

import numpy as np
import pandas as pd

from dashboard.fairness.others_rate import set_aside
from dashboard.stats import funnel

JUDGED = ["expected", "judged_rate", "judged_jobs", "judged_against", "funnel"]


def judged(table: pd.DataFrame, strata: pd.DataFrame, count: str, of: str) -> pd.DataFrame:
    """Add JUDGED: each group against the others' rates of the same work, as first-time fix is.

    `table`: group, `count`, `of`. `strata`: the same counts by group, appliance_kind, symptom, for
    every group of the shop. Missing where no other technician has such jobs, and where a filter
    leaves only a part of the group's jobs, whose likes the strata do not hold.
    """
    result = table.assign(**dict.fromkeys(JUDGED[:4], np.nan)).assign(funnel=None)
    if strata.empty:
        return result
    found = set_aside(
        strata.assign(mature=strata[of], fixed_first_time=strata[of] - strata[count])
    ).reindex(table["group"])
    whole = strata.groupby("group")[of].sum().reindex(table["group"]).to_numpy(float)
    found[whole != table[of].to_numpy(float)] = np.nan
    result["expected"] = found["expected"].to_numpy(float)
    result["judged_rate"] = 1 - found["rate"].to_numpy(float)
    result["judged_jobs"] = found["jobs"].to_numpy(float)
    result["judged_against"] = 1 - found["against"].to_numpy(float)
    known = result["judged_rate"].notna()
    rows = result[known]
    result.loc[known, "funnel"] = funnel.verdicts(
        rows["judged_rate"], rows["judged_jobs"], rows["judged_against"]
    )
    return result


def misdiagnosis(table: pd.DataFrame, rows: Callable[[str], pd.DataFrame]) -> pd.DataFrame:
    """Add JUDGED to the groups of the measure misdiagnosis."""
    return judged(table, rows("pages/diagnosis_strata"), "with_pattern", "asked")


COMPUTE = {"misdiagnosis": misdiagnosis}
