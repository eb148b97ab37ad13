"""No fault found → text and a sheet to print: how often, what came back, what was measured."""

import pandas as pd

from dashboard.database.filter_words import filter_words
from dashboard.database.labels import Labels
from dashboard.filters import Filters
from dashboard.rows import Row, each_row
from dashboard.stats.proportion import newcombe_difference
from dashboard.text import format as words
from dashboard.text.paper import Paper, PaperTable


def share_words(row: Row) -> str:
    """Say how many complaints ended without a fault found; a shop may not record that at all."""
    if not row.no_fault:
        return f"**None of {words.counted(row.jobs, 'job')} is recorded as no fault found.**"
    text = words.rate(row.no_fault, row.jobs, row.low, row.high)
    return f"**No fault was found on {text}.**"


def return_words(row: Row, window_days: int) -> str:
    """Say how many of them came back, next to repairs, and whether that is more than chance."""
    if not row.no_fault:
        return "Either a fault was always found, or these records have no word for it."
    if not row.mature:
        return (
            f"None of them is past the {window_days}-day window on a known appliance, so returns "
            "cannot be seen yet."
        )
    text = (
        f"The same complaint came back within {window_days} days on "
        f"{words.rate(row.came_back, row.mature, row.return_low, row.return_high)}"
    )
    if row.came_back:
        text += f"; {row.fault_later:,} of those were then repaired with a cause"
    if not row.repaired_mature:
        return f"{text}."
    gap = newcombe_difference(row.came_back, row.mature, row.repaired_back, row.repaired_mature)
    judged = "the difference is within chance"
    if gap.low > 0:
        judged = "no fault found comes back more often, beyond chance"
    elif gap.high < 0:
        judged = "no fault found comes back less often, beyond chance"
    return (
        f"{text}. After repairs it is {words.percent(row.repaired_rate)} "
        f"({row.repaired_back:,} of {row.repaired_mature:,}): {judged}."
    )


def measured_words(row: Row) -> str:
    """Say on how many of them nothing was measured, and how many readings came and went."""
    text = ""
    if row.no_fault:
        text = f"No reading is recorded on {row.not_measured:,} of the {row.no_fault:,}."
    if row.unstable_jobs:
        text += (
            f" {words.counted(row.unstable_jobs, 'job')}, however closed, "
            f"{'has' if row.unstable_jobs == 1 else 'have'} a reading that came and went: an "
            "intermittent fault."
        )
    else:
        text += (
            " No reading is marked as coming and going, so these records cannot say how many "
            "faults are intermittent."
        )
    return text.strip()


def prepared_groups(table: pd.DataFrame, group_by: str, labels: Labels) -> pd.DataFrame:
    """Add label and the rates in words; most jobs without a fault first."""
    rows = list(each_row(table))
    return table.assign(
        label=[labels.of(group_by, r.group) for r in rows],
        range=[words.percent_range(r.low, r.high) for r in rows],
        share_words=[words.interval(r.share, r.low, r.high) for r in rows],
        back=[words.rate(r.came_back, r.mature, r.return_low, r.return_high) for r in rows],
    ).sort_values(["no_fault", "jobs", "group"], ascending=[False, True, True], ignore_index=True)


def no_fault_paper(
    whole: Row, groups: pd.DataFrame, title: str, filters: Filters, labels: Labels, window: int
) -> Paper:
    """Return the page as a sheet; `groups` as `prepared_groups`, `title` of what they are."""
    filtered = filter_words(filters, labels)
    rows = [
        [r.label, words.number(r.no_fault), words.number(r.jobs), words.percent(r.share), r.range,
         r.back, words.number(r.not_measured)]
        for r in each_row(groups[groups["no_fault"] > 0])
    ]  # fmt: skip
    heads = [title, "No fault found", "Jobs", "Share", "95% range", "Came back", "Not measured"]
    return Paper(
        f"No fault found, by {title.lower()}",
        [
            f"Of {filtered or 'the whole shop'}.",
            share_words(whole).replace("*", ""),
            return_words(whole, window),
            measured_words(whole),
        ],
        [PaperTable(f"By {title.lower()}", heads, rows, frozenset((1, 2, 3, 6)))],
        [],
        f"FILTERED: {filtered}" if filtered else None,
    )
