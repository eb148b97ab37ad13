"""A measure's rows prepared for page and chart: labels, words, and which groups are too small."""

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.rows import each_row
from dashboard.text.format import rate

GROUP_TITLES = {
    "technician": "Technician",
    "branch": "Branch",
    "appliance_kind": "Appliance",
    "symptom": "Complaint",
    "repair_code": "Repair",
    "cause": "Root cause",
}


def prepared(
    table: pd.DataFrame, group_by: str, labels: Labels, min_jobs: int, numerator: str
) -> pd.DataFrame:
    """Return the table with columns label, words and is_few, in the order of the labels.

    `numerator` is the column counted over `mature`. An empty table stays empty.
    """
    result = table.copy()
    result["label"] = [labels.of(group_by, group) for group in result["group"]]
    result["words"] = [
        rate(getattr(row, numerator), row.mature, row.low, row.high) for row in each_row(result)
    ]
    result["is_few"] = result["mature"] < min_jobs
    return result.sort_values("label", kind="stable").reset_index(drop=True)
