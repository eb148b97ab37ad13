"""Completed repairs with what each cost → profit per hour by appliance, brand or repair."""

from collections.abc import Callable, Mapping
from typing import Any, cast

import pandas as pd

from dashboard.pricing.job_costs import with_costs
from dashboard.pricing.terms import terms_of
from dashboard.stats.ratio import ratio_of_sums

BRAND = "brand"
COLUMNS = [
    "group", "appliance_kind", "jobs", "unknown_jobs", "hours", "charged", "cost", "profit",
    "profit_per_hour", "low", "high",
]  # fmt: skip


def profit_per_hour(
    table: pd.DataFrame,
    rows: Callable[[str], pd.DataFrame],
    parameters: Mapping[str, Any],
) -> pd.DataFrame:
    """Return one row per group, least profit per hour first (sql/measures/profit_per_hour).

    `appliance_kind` is filled where the group is a repair. No job: an empty table.
    """
    jobs = grouped_jobs(table, rows("measures/flat_rate"), parameters)
    found = [
        _group(cast(Any, key), each) for key, each in jobs.groupby(["group", "kind"], sort=True)
    ]
    result = pd.DataFrame(found, columns=COLUMNS)
    return result.sort_values(["profit_per_hour", "group", "appliance_kind"], ignore_index=True)


def grouped_jobs(
    table: pd.DataFrame, rates: pd.DataFrame, parameters: Mapping[str, Any]
) -> pd.DataFrame:
    """Return the completed repairs with group, kind, hours, charged, cost and profit.

    `table`: rows of sql/measures/profit_per_hour; `rates`: those of flat_rate. Profit is missing
    where minutes, part costs or the charge are not recorded.
    """
    costed = with_costs(rates, terms_of(parameters)).merge(table, on="job_id", suffixes=("", "_of"))
    by = parameters.get("group_by")
    if by == BRAND:
        group = costed["brand_of"]
    else:
        group = costed["group_name"] if by else costed["repair_code"]
    is_repair = by in (None, "repair_code")
    road = costed["job_road_min"] + costed["return_road_min"]
    return costed.assign(
        group=group,
        kind=costed["appliance_kind"] if is_repair else "",
        hours=(costed["minutes"] + road) / 60,
        profit=costed["charged"] - costed["cost"],
    )


def _group(key: tuple[str, str], jobs: pd.DataFrame) -> dict[str, Any]:
    known = jobs[jobs["profit"].notna()]
    ratio = ratio_of_sums(known["profit"], known["hours"])
    return {
        "group": key[0],
        "appliance_kind": key[1] or None,
        "jobs": len(known),
        "unknown_jobs": len(jobs) - len(known),
        "hours": float(known["hours"].sum()),
        "charged": float(known["charged"].sum()),
        "cost": float(known["cost"].sum()),
        "profit": float(known["profit"].sum()),
        "profit_per_hour": ratio.value if ratio else None,
        "low": ratio.low if ratio else None,
        "high": ratio.high if ratio else None,
    }
