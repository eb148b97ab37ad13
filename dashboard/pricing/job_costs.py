"""What each cured complaint cost the shop: minutes, road, parts and the returns that followed."""

import pandas as pd

from dashboard.pricing.terms import Terms


def with_costs(rows: pd.DataFrame, terms: Terms) -> pd.DataFrame:
    """Return the cured complaints with what each really cost, returns included.

    Adds minutes, travel_cost, job_cost, return_cost and cost; missing where the minutes or the
    parts' costs are not recorded. Travel without recorded minutes takes the setting's.
    """
    table = rows.copy()
    for who in ("job", "return"):
        travel_min = table[f"{who}_travel_min"].fillna(
            table[f"{who}_trips"] * terms.travel_min_per_trip
        )
        table[f"{who}_road_min"] = travel_min
        road = travel_min / 60 * terms.labour_per_hour + table[f"{who}_trips"] * terms.trip_cost
        work = table[f"{who}_min"] / 60 * terms.labour_per_hour
        table[f"{who}_travel_cost"] = road
        table[f"{who}_cost"] = work + road + table[f"{who}_parts_cost"]
    table["job_cost"] += terms.consumables + terms.other_cost
    table["minutes"] = table["job_min"] + table["return_min"]
    table["cost"] = table["job_cost"] + table["return_cost"]
    return table
