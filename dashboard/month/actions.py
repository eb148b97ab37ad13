"""What the month cost, and the few things to do next, each with its reason and its jobs."""

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.evidence.patterns import PATTERNS
from dashboard.filters import Filters
from dashboard.text import format as words

Measure = Callable[..., pd.DataFrame]
MOST_ACTIONS = 3
REASONS = {
    "part_needed": "a part was needed and not on the van",
    "part_ordered": "a part had to be ordered",
    "misdiagnosed": "the first diagnosis was wrong",
    "defective_part": "a new part was faulty",
    "more_time": "a second person, a tool or more time was needed",
    "customer": "of the customer",
    "other": "of something else",
}


@dataclass(frozen=True)
class Cost:
    """Something that cost money this month: what, how much in words, and the jobs behind it."""

    name: str
    told: str
    jobs: tuple[str, ...]


@dataclass(frozen=True)
class Action:
    """One thing to do next, with its reason and the jobs behind it."""

    title: str
    reason: str
    jobs: tuple[str, ...]
    worth: float


def patterns_of(measure: Measure, rows: Measure, now: Filters) -> list[tuple[Cost, float]]:
    """Return the patterns whose wrong diagnoses cost something, the costliest first."""
    found = []
    for pattern, each in PATTERNS.items():
        table = measure("misdiagnosis", now, pattern=pattern)
        if table.empty or not table.iloc[0].with_pattern:
            continue
        row = table.iloc[0]
        cost = 0.0 if words.is_missing(row.cost) else float(row.cost)
        jobs = tuple(rows("diagnosis_jobs", now, pattern=pattern)["job_id"].head(8))
        told = (
            f"{row.with_pattern:,} of {row.asked:,} jobs; the wrong diagnoses among them cost "
            f"{words.number(row.lost_min / 60, 0)} hours and "
            f"{words.number(row.unneeded_parts_cost, 0)} in parts not needed, "
            f"{words.number(cost, 0)} in all"
        )
        found.append((Cost(each.name, told, jobs), cost))
    return sorted(found, key=lambda pair: -pair[1])


def under_cost(table: pd.DataFrame, labels: Labels) -> pd.DataFrame:
    """Return the two repairs on which the shop lost most in the last twelve months."""
    if table.empty:
        return table
    losing = table[(table["result_now"] < 0) & (table["median_charged"] < table["cost_to_serve"])]
    worst = losing.sort_values(["result_now", "repair_code", "appliance_kind"]).head(2).copy()
    worst["label"] = [
        f"{labels.of('repair_code', row.repair_code, row.appliance_kind)} "
        f"({labels.of('appliance_kind', row.appliance_kind)})"
        for row in worst.itertuples()
    ]
    return worst


def actions(
    rows: Measure,
    now: Filters,
    year: Filters,
    patterns: list[tuple[Cost, float]],
    repeats: pd.DataFrame,
    under: pd.DataFrame,
) -> tuple[Action, ...]:
    """Return at most three things to do, those worth most first; none without a reason."""
    found = [
        Action(
            f"Look at the jobs with the pattern “{cost.name.lower()}”",
            f"This month: {cost.told}.",
            cost.jobs,
            worth,
        )
        for cost, worth in patterns[:1]
        if worth > 0
    ]
    found += _price_actions(rows, year, under)
    found += _repeat_action(rows, now, repeats)
    return tuple(sorted(found, key=lambda action: -action.worth)[:MOST_ACTIONS])


def _price_actions(rows: Measure, year: Filters, under: pd.DataFrame) -> list[Action]:
    actions = []
    jobs = rows("month_jobs", year) if len(under) else None
    for row in under.head(1).itertuples():
        of_code = (jobs["repair_code"] == row.repair_code) & (
            jobs["appliance_kind"] == row.appliance_kind
        )
        actions.append(
            Action(
                f"Price anew: {row.label}",
                f"Median charge {words.number(row.median_charged, 0)}, cost to serve "
                f"{words.number(row.cost_to_serve, 0)} at the planned minutes, proposed "
                f"{words.number(row.proposed_rate, 0)}; {words.number(-row.result_now, 0)} lost on "
                f"{row.jobs:,} jobs in twelve months.",
                tuple(jobs.loc[of_code, "job_id"].tail(8)),
                float(-row.result_now) / 12,
            )
        )
    return actions


def _repeat_action(rows: Measure, now: Filters, repeats: pd.DataFrame) -> list[Action]:
    if repeats.empty:
        return []
    row = repeats.sort_values("visits", ascending=False).iloc[0]
    worth = 0.0 if words.is_missing(row.cost_low) else float(row.cost_low)
    jobs = tuple(rows("repeat_jobs", now, reason=row.reason)["job_id"].head(8))
    title = {
        "part_needed": "Put the parts that were missing on the vans (see Van stock)",
        "misdiagnosed": "Go through the order of tests for the complaints that came back",
    }.get(row.reason, "Find out why a second trip was needed")
    return [
        Action(
            title,
            f"{words.counted(row.visits, 'further visit')} because {REASONS[row.reason]}: "
            f"{words.number(row.travel_min / 60, 0)} hours on the road.",
            jobs,
            worth,
        )
    ]
