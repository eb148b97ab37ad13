"""Rows of the measure recording → one row per field, and the field to write down first."""

import pandas as pd

from dashboard.rows import Row

COLUMNS = [
    "group", "field", "asked", "missing", "rate", "low", "high", "freed", "lost", "answers",
]  # fmt: skip
# the largest effect on what can be said: answers gained, then answers lost
RANKED_BY = ["freed", "lost", "missing", "field"]


def by_field(table: pd.DataFrame) -> pd.DataFrame:
    """Return one row per group and field, in each group the one to write down first on top.

    `answers`: (answer, jobs lost), most first; `lost`: their sum. `freed`: answers that recording
    this field alone would give.
    """
    rows = []
    for (group, field), own in table.groupby(["group", "field"], sort=True):
        lost = own[own["lost"] > 0].sort_values(["lost", "answer"], ascending=[False, True])
        first = own.iloc[0]
        answers = tuple(zip(lost["answer"], lost["lost"].astype(int), strict=True))
        rows.append(
            (group, field, int(first.asked), int(first.missing), first.rate, first.low, first.high,
             int(own["freed"].sum()), int(own["lost"].sum()), answers)
        )  # fmt: skip
    found = pd.DataFrame(rows, columns=COLUMNS)
    return found.sort_values(
        ["group", *RANKED_BY], ascending=[True, False, False, False, True], ignore_index=True,
    )  # fmt: skip


def first_to_write(fields: pd.DataFrame) -> Row | None:
    """Return the first row of one group of by_field; None where nothing is missing."""
    known = fields[fields["missing"] > 0]
    return None if known.empty else known.iloc[0]
