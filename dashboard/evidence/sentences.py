"""Numbers of the diagnosis measures → sentences."""

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.text.format import is_missing, number, percent, rate


def wrong_diagnoses(row: pd.Series, window_days: int) -> str:
    """Write the headline from the one row of the measure misdiagnosis, with what it leaves out."""
    if not row.judged:
        return (
            "**Cannot be said from these records:** it needs completed repairs past the "
            f"{window_days}-day window, on known appliances, with a diagnosis."
        )
    cost = "" if is_missing(row.cost) else f": {number(row.cost)} in all"
    return (
        f"**Wrong diagnosis: {rate(row.wrong, row.judged, row.low, row.high)}.** "
        f"{row.corrected:,} were corrected on a later visit, {row.came_back:,} came back with a "
        f"different cause. They cost {number(row.lost_min / 60)} hours and "
        f"{number(row.unneeded_parts_cost)} in parts that were not needed{cost}. "
        "This is a lower bound: a wrong diagnosis whose job did not come back is not counted. "
        f"Counted are completed repairs past the {window_days}-day window, on known appliances, "
        "with a diagnosis."
    )


def factor(value: float) -> str:
    """Write a likelihood ratio: "×24", "×0.03"."""
    return f"×{value:.3g}"


def out_of_ten(share: float | None) -> str:
    """Write a share as "About 6 in 10 of these were right."; a missing one in words."""
    if is_missing(share):
        return "How many of these were right cannot be said from these records."
    if share > 0.95:
        return "More than 9 in 10 of these were right."
    if share < 0.05:
        return "Fewer than 1 in 10 of these were right."
    return f"About {max(1, min(9, round(share * 10)))} in 10 of these were right."


def step(row: object, labels: Labels) -> str:
    """Write one reading of a part: "pump winding outside: 97% if the part is at fault, …"."""
    name = labels.of("test_point", row.test_point)
    if is_missing(row.is_outside):
        return f"{name}: nothing decides it, ×1"
    where = "outside" if row.is_outside else "inside"
    if not is_missing(row.counts_as):
        return f"{name} {where}: counted with {labels.of('test_point', row.counts_as)}"
    return (
        f"{name} {where}: {percent(row.p)} if the part is at fault, {percent(row.q)} if not, "
        f"{factor(row.p / row.q)}"
    )


def steps(rows: pd.DataFrame, labels: Labels) -> list[str]:
    """Write the readings of one part and their product; nothing for a part without readings.

    Rows of pages/part_readings of one component.
    """
    if rows.empty:
        return []
    lines = [step(row, labels) for row in rows.itertuples()]
    return [*lines, f"Together {factor(rows['ratio'].iloc[0])}"]


def missing_tests(rows: pd.DataFrame, labels: Labels) -> str:
    """Write which tests could have seen the part fail; rows of pages/part_missing_tests."""
    names = [labels.of("test_point", point) for point in rows["test_point"].head(3)]
    return f"Not made: {', '.join(names)}" if names else ""


def habit(row: object, name: str) -> str:
    """Write what a habit costs: "Replaced without testing: 24% wrong, otherwise 9% (2.6 times, …)".

    A row of pages/habits; what cannot be said is said.
    """
    if is_missing(row.rate_with):
        return f"{name}: no judged job shows it."
    found = f"{name}: {percent(row.rate_with)} wrong ({row.wrong_with:,.0f} of {row.n_with:,.0f})"
    if is_missing(row.ratio):
        return f"{found}; too few jobs to compare with the same work done otherwise."
    return (
        f"{found}, otherwise {percent(row.rate_without)} "
        f"({row.ratio:.1f} times, {row.low:.1f}–{row.high:.1f})."
    )
