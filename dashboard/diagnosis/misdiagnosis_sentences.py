"""Misdiagnosis in words: the habit that stands out, wrong diagnoses, what a habit costs."""

from dashboard.diagnosis.comparison import Standout
from dashboard.rows import Row
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import counted, is_missing, money, number, percent, rate


def stands_out(found: Standout | None, name: str, noun: str, compared: int) -> str:
    """Write which habit stands out, where, and by how much; the name of the group is not in it.

    `name`: of the pattern; `noun`: of the groups, as in "technician"; `compared`: pairs of both.
    """
    if not compared:
        return (
            f"**Cannot be said: no {noun} can be compared on any habit.** It needs enough jobs of "
            f"several {noun}s with readings and parts."
        )
    if found is None:
        return (
            f"**No {noun} stands out on any habit**: {counted(compared, 'pair')} of {noun} and "
            "habit compared, none far above what the rest of the shop shows on the same work."
        )
    return (
        f"**{name}: one {noun}, {found.with_pattern:,.0f} of {found.asked:,.0f} jobs, "
        f"{number(found.expected)} expected** from the rest of the shop on the same appliances and "
        "complaints."
    )


def wrong_diagnoses(row: Row, window_days: int, currency: str | None) -> str:
    """Write the shop's rate from the one row of the measure misdiagnosis, and what it cost."""
    if not row.judged:
        return (
            "**Cannot be said from these records:** it needs completed repairs past the "
            f"{window_days}-day window, on known appliances, with a diagnosis."
        )
    cost, parts = (
        "" if is_missing(row.cost) else verbatim(money(value, currency))
        for value in (row.cost, row.unneeded_parts_cost)
    )
    both = row.corrected + row.came_back - row.wrong
    return (
        f"Wrong diagnosis: {rate(row.wrong, row.judged, row.low, row.high)}. "
        f"{row.corrected:,} were corrected on a later visit, {row.came_back:,} came back with a "
        f"different cause{f' ({both:,} did both)' if both else ''}."
        + (f" They cost {cost}, including {parts} for parts that were not needed." if cost else "")
        + " This is a lower bound: a wrong diagnosis whose job did not come back is not counted."
    )


def out_of_ten(share: float | None) -> str:
    """Write a share as "About 6 in 10 of these were right."; a missing one in words."""
    if is_missing(share):
        return "How many of these were right cannot be said from these records."
    if share > 0.95:
        return "More than 9 in 10 of these were right."
    if share < 0.05:
        return "Fewer than 1 in 10 of these were right."
    return f"About {max(1, min(9, round(share * 10)))} in 10 of these were right."


def habit(row: Row, name: str) -> str:
    """Write what a habit costs: "Several parts at once: 24% wrong, without it 9% (2.6 times, …)".

    A row of pages/habits; what cannot be said is said.
    """
    if is_missing(row.rate_with):
        return f"{name}: no judged job shows it."
    found = f"{name}: {percent(row.rate_with)} wrong ({row.wrong_with:,.0f} of {row.n_with:,.0f})"
    if is_missing(row.ratio):
        return f"{found}; too few jobs to compare with the same work done otherwise."
    return (
        f"{found}, without it {percent(row.rate_without)} "
        f"({row.ratio:.1f} times, {row.low:.1f}–{row.high:.1f})."
    )
