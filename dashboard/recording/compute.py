"""Rows of the measure recording → one row per field, and the field that would free most."""

import pandas as pd

from dashboard.rows import Row

COLUMNS = ["group", "field", "asked", "missing", "rate", "low", "high", "freed", "answers"]


def by_field(table: pd.DataFrame) -> pd.DataFrame:
    """Return one row per group and field, most freed first.

    `answers`: (answer, jobs lost), most first. `freed`: answers that recording it would give.
    """
    rows = []
    for (group, field), own in table.groupby(["group", "field"], sort=True):
        lost = own[own["lost"] > 0].sort_values(["lost", "answer"], ascending=[False, True])
        first = own.iloc[0]
        answers = tuple(zip(lost["answer"], lost["lost"].astype(int), strict=True))
        rows.append(
            (group, field, int(first.asked), int(first.missing), first.rate, first.low, first.high,
             int(own["freed"].sum()), answers)
        )  # fmt: skip
    found = pd.DataFrame(rows, columns=COLUMNS)
    return found.sort_values(
        ["group", "freed", "missing", "field"], ascending=[True, False, False, True],
        ignore_index=True,
    )  # fmt: skip


def frees_most(fields: pd.DataFrame) -> Row | None:
    """Return the field whose recording would free most; None where nothing is missing."""
    known = fields[fields["freed"] > 0]
    return None if known.empty else known.iloc[int(known["freed"].to_numpy().argmax())]
