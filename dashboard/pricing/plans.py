"""Ways to plan a repair side by side, and what a change of price would have meant."""

from collections.abc import Mapping
from datetime import date, timedelta

import pandas as pd

from dashboard.pricing.profit import margin
from dashboard.pricing.rates import cost_of, past_jobs, price_of
from dashboard.pricing.repair_records import Repair
from dashboard.pricing.terms import Terms

YEAR_DAYS = 365
KNOWN = ["charged", "cost", "minutes", "job_road_min", "return_road_min"]


def ways_to_plan(repair: Repair, terms: Terms) -> dict[str, float]:
    """Return the minutes of each way to plan by name: mean, P75, P80 and the shop's own choice."""
    if repair.minutes is None:
        return {}
    ways = {
        "Mean": repair.minutes.mean_min,
        "P75": repair.minutes.p75_min,
        "P80": repair.minutes.p80_min,
    }
    own = f"P{100 * terms.quantile:g}"
    return ways if own in ways else ways | {own: repair.minutes.planned_min}


def plans(repair: Repair, terms: Terms) -> pd.DataFrame:
    """Return each way to plan one repair: its price and what that leaves.

    Columns plan, minutes, rate, margin, profit_per_hour (of a technician, travel in; on average,
    returns in), under_cost, jobs, result. No row when it cannot be said.
    """
    ways, minutes = ways_to_plan(repair, terms), repair.minutes
    expected = cost_of(repair, minutes.mean_min, terms) if minutes else None
    if minutes is None or expected is None:
        return pd.DataFrame(columns=PLAN_COLUMNS)
    hours = (minutes.mean_min + repair.travel_min) / 60
    rows = []
    for name, price in _prices(repair, terms).items():
        past = past_jobs(repair.jobs, price)
        share, profit = margin(price, expected.total), (price - expected.total) / hours
        row = (name, ways[name], price, share, profit, past.under_cost, past.jobs, past.result)
        rows.append(row)
    return pd.DataFrame(rows, columns=PLAN_COLUMNS)


def _prices(repair: Repair, terms: Terms) -> dict[str, float]:
    """Return the price of each way to plan; none when it cannot be said."""
    prices = {
        name: price_of(cost_of(repair, minutes, terms), repair, terms)
        for name, minutes in ways_to_plan(repair, terms).items()
    }
    return {name: price for name, price in prices.items() if price is not None}


PLAN_COLUMNS = [
    "plan", "minutes", "rate", "margin", "profit_per_hour", "under_cost", "jobs", "result",
]  # fmt: skip


def shop_plans(
    repairs: Mapping[tuple[str, str], Repair], terms: Terms, since: date
) -> pd.DataFrame:
    """Return what today's charges and each way to plan would have left since a day, shop-wide.

    Columns plan, jobs, under_cost, charged, cost, result, profit_per_hour. Only complaints whose
    charge and cost are known and whose repair can be priced: the same ones in every row.
    """
    totals: dict[str, list[float]] = {}
    for repair in repairs.values():
        jobs = repair.jobs
        is_known = jobs["charged"].notna() & jobs["cost"].notna()
        known = jobs.loc[is_known & (jobs["closed_on"] >= pd.Timestamp(since)), KNOWN]
        prices = _prices(repair, terms)
        if known.empty or not prices:
            continue
        hours = (known["minutes"] + known["job_road_min"] + known["return_road_min"]).sum() / 60
        cost = known["cost"].sum()
        charges = {"Today": known["charged"].sum()}
        lost = {"Today": past_jobs(known).under_cost}
        for name, price in prices.items():
            charges[name] = price * len(known)
            lost[name] = past_jobs(known, price).under_cost
        for name, charged in charges.items():
            added = [len(known), lost[name], charged, cost, hours]
            totals[name] = [a + b for a, b in zip(totals.get(name, [0] * 5), added, strict=True)]
    table = pd.DataFrame(
        [(name, *values) for name, values in totals.items()],
        columns=["plan", "jobs", "under_cost", "charged", "cost", "hours"],
    )
    table["result"] = table["charged"] - table["cost"]
    table["profit_per_hour"] = table["result"] / table["hours"]
    return table.drop(columns="hours")


def last_year(as_of: date) -> date:
    """Return the first day of the 12 months that end with the records."""
    return as_of - timedelta(days=YEAR_DAYS - 1)


def year_change(
    repairs: Mapping[tuple[str, str], Repair], rates: Mapping[tuple[str, str], float], since: date
) -> pd.DataFrame:
    """Return per repair what the proposed rate would have changed since a day.

    Columns appliance_kind, repair_code, year_jobs, year_charged, year_proposed, year_change; jobs
    whose charge is recorded, at the same number of jobs. Repairs without a rate are left out.
    """
    found = []
    for (kind, code), repair in repairs.items():
        rate = rates.get((kind, code))
        is_recent = repair.jobs["closed_on"] >= pd.Timestamp(since)
        charged = repair.jobs["charged"][is_recent].dropna()
        if rate is None or pd.isna(rate) or charged.empty:
            continue
        then, now = rate * len(charged), float(charged.sum())
        found.append((kind, code, len(charged), now, then, then - now))
    columns = ["appliance_kind", "repair_code", "year_jobs"]
    columns += ["year_charged", "year_proposed", "year_change"]
    return pd.DataFrame(found, columns=columns)
