"""What to do next: departures from normal first, then by money; each with all of its jobs."""

from dataclasses import dataclass, replace

import pandas as pd

from dashboard.month.sentences import REASONS, normal
from dashboard.rows import Row, each_row
from dashboard.text import format as words

MOST_ACTIONS = 4
RANKS = {"different": 0, "look": 1}
TITLES = {
    "part_needed": "Put the missing parts on the vans",
    "part_ordered": "Ask for the model number at the call, and order parts before the first trip",
    "wrong_diagnosis": "Go through the jobs whose first diagnosis was wrong",
    "came_back": "Find out why repairs came back with the same cause",
    "defective_part": "Ask the supplier about the faulty new parts",
    "more_time": "Plan a helper, the tool or more time for these repairs",
    "customer": "Get the customer's decision on the first visit",
    "other": "Find out why these jobs needed another trip",
    "not_recorded": "Have the reason noted when a visit does not finish a job",
}


@dataclass(frozen=True)
class Action:
    """One thing to do: its key (the same from month to month), reason, money and all its jobs.

    `rank`: 0 well outside normal, 1 worth a look, 2 within normal range. `worth`: money a month.
    """

    key: str
    title: str
    reason: str
    rank: int
    worth: float
    jobs: tuple[str, ...]
    is_again: bool = False


def ranked(found: list[Action], before: list[Action]) -> tuple[Action, ...]:
    """Return the actions of a month, most urgent first, marked when last month had them too."""
    was = {action.key for action in _top(before)}
    return tuple(replace(action, is_again=action.key in was) for action in _top(found))


def _top(found: list[Action]) -> list[Action]:
    return sorted(found, key=lambda action: (action.rank, -action.worth, action.key))[:MOST_ACTIONS]


def of_reasons(reasons: pd.DataFrame, jobs: pd.DataFrame, currency: str) -> list[Action]:
    """Return an action for each reason of the month that is normal or worse.

    `reasons`: the month's rows of month_reasons; `jobs`: pages/jobs_not_fixed of the month.
    """
    return [
        Action(
            f"reason {row.group}",
            TITLES[row.group],
            f"{words.counted(row.not_fixed, 'job')} {REASONS[row.group][1]}; "
            f"{normal(row.expected)} is normal. {_cost(row, currency)}",
            RANKS.get(row.verdict, 2) if row.excess > 0 else 2,
            _worth(row),
            tuple(jobs.loc[jobs["reason"] == row.group, "job_id"]),
        )
        for row in each_row(reasons)
        if row.not_fixed > 0
    ]


def of_groups(view: str, table: pd.DataFrame, jobs: pd.DataFrame, currency: str) -> list[Action]:
    """Return an action for each technician, appliance or part that is worse than its normal.

    `view`: the column of `jobs`; `table`: its rows of month_reasons with a column label.
    """
    rows = table[(table["verdict"] == "different") & (table["excess"] > 0)]
    return [
        Action(
            f"{view} {row.group}",
            f"Look at the jobs of {row.label}",
            f"{row.not_fixed:,.0f} of {words.counted(row.jobs, 'job')} not fixed first time; "
            f"{normal(row.expected)} is normal. {_cost(row, currency)}",
            0,
            _worth(row),
            tuple(jobs.loc[jobs[view] == row.group, "job_id"]),
        )
        for row in each_row(rows)
    ]


def of_prices(losing: pd.DataFrame, jobs: pd.DataFrame, months: int, currency: str) -> list[Action]:
    """Return an action for each repair that is charged less than it costs.

    `losing`: rows of flat_rate with a column label; `jobs`: the measure's base rows; `months`: how
    many months of records the loss comes from.
    """
    found = []
    for row in each_row(losing):
        own = (jobs["repair_code"] == row.repair_code) & (
            jobs["appliance_kind"] == row.appliance_kind
        )
        found.append(
            Action(
                f"price {row.repair_code} {row.appliance_kind}",
                f"Reprice: {row.label}",
                f"Median charge {words.money(row.median_charged, currency)}, planned cost "
                f"{words.money(row.cost_to_serve, currency)}, proposed rate "
                f"{words.money(row.proposed_rate, currency)}. Lost so far: "
                f"{words.money(-row.result_now, currency)} on {_of_known(row)}, as on Flat rates.",
                2,
                float(-row.result_now) / max(months, 1),
                tuple(jobs.loc[own, "job_id"]),
            )
        )
    return found


def _of_known(row: Row) -> str:
    if row.costed_jobs == row.jobs:
        return words.counted(row.jobs, "job")
    return f"{row.costed_jobs:,} of {words.counted(row.jobs, 'job')} (those with a known cost)"


def losing_repairs(flat_rates: pd.DataFrame) -> pd.DataFrame:
    """Return the two repairs on which the shop lost most and whose usual charge is under cost."""
    is_losing = (flat_rates["result_now"] < 0) & (
        flat_rates["median_charged"] < flat_rates["cost_to_serve"]
    )
    order = ["result_now", "repair_code", "appliance_kind"]
    return flat_rates[is_losing].sort_values(order).head(2)


def _worth(row: Row) -> float:
    """Return what the jobs beyond normal cost, or all of them where none is beyond it."""
    cost = 0.0 if words.is_missing(row.lost_cost) else float(row.lost_cost)
    is_beyond = row.verdict in RANKS and row.excess > 0
    return cost * row.excess / row.not_fixed if is_beyond else cost


def _cost(row: Row, currency: str) -> str:
    if words.is_missing(row.lost_cost) or row.lost_cost == 0:
        return "What the trips cost is not recorded."
    cost = words.money(row.lost_cost, currency)
    return f"Return trips and callbacks cost {cost} in labor and travel."
