"""What the readings say of a part: numbers → sentences."""

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.rows import Row, each_row
from dashboard.text.format import is_missing, percent


def factor(value: float) -> str:
    """Write a likelihood ratio: "×24", "×0.03"."""
    return f"×{value:.3g}"


def step(row: Row, labels: Labels) -> str:
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
    lines = [step(row, labels) for row in each_row(rows)]
    return [*lines, f"Together {factor(rows['ratio'].iloc[0])}"]


def missing_tests(rows: pd.DataFrame, labels: Labels) -> str:
    """Write which tests could have seen the part fail; rows of pages/part_missing_tests."""
    names = [labels.of("test_point", point) for point in rows["test_point"].head(3)]
    return f"Not made: {', '.join(names)}" if names else ""
