"""Minutes by model → repairs that take different times on two groups of models."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd

from dashboard.pricing.repair_records import RESAMPLES
from dashboard.pricing.terms import CALL_FEE_REPAIRS
from dashboard.stats.durations.lognormal import planned_minutes
from dashboard.stats.multiple_testing import q_values
from dashboard.stats.split_groups import Split, split_groups

MOST_FALSE = 0.05  # of the repairs flagged
LEAST_SIDE_JOBS = 10  # a price of fewer is a guess
QUICK, SLOW = "quick", "slow"
REPAIR = ["appliance_kind", "repair_code"]
COLUMNS = [
    *REPAIR, "side", "models", "jobs", "p50_minutes", "planned_minutes",
    "planned_low", "planned_high",
    "ratio", "ratio_low", "ratio_high", "p_value", "q_value", "flagged",
]  # fmt: skip


def model_groups(table: pd.DataFrame, settings: Mapping[str, Any]) -> pd.DataFrame:
    """Return two rows, quick and slow, per repair whose models can be compared.

    `models`: joined by "; ". Sorted by p_value. No repair to compare: an empty table.
    """
    found: list[dict[str, Any]] = []
    for key, rows in table.groupby(REPAIR, sort=True):
        if key[1] in CALL_FEE_REPAIRS:
            continue
        minutes = _minutes_by_model(rows)
        split = split_groups(list(minutes.values()))
        if split is not None:
            found += _sides(
                (str(key[0]), str(key[1])), minutes, split, settings["planned_quantile"]
            )
    sides = pd.DataFrame(found, columns=[name for name in COLUMNS if name != "q_value"])
    return _judged(sides)[COLUMNS]


def _minutes_by_model(rows: pd.DataFrame) -> dict[str, np.ndarray]:
    """Return the minutes of every job by model, in one pass: a shop has thousands of models."""
    ordered = rows[rows["model"].notna()].sort_values("model", kind="stable")
    jobs = ordered["jobs"].to_numpy(int)
    minutes = np.repeat(ordered["labour_min"].to_numpy(float), jobs)
    models, first_rows = np.unique(ordered["model"].to_numpy(str), return_index=True)
    begins = np.append(0, jobs.cumsum())[first_rows]
    return dict(zip(models.tolist(), np.split(minutes, begins[1:]), strict=False))


def _sides(
    key: tuple[str, str], minutes: Mapping[str, np.ndarray], split: Split, quantile: float
) -> list[dict[str, Any]]:
    names, all_min = list(minutes), np.concatenate(list(minutes.values()))
    found = []
    for side, places in ((QUICK, split.quick), (SLOW, split.slow)):
        models = [names[place] for place in places]
        own = np.concatenate([minutes[model] for model in models])
        planned = planned_minutes(own, all_min, quantile, RESAMPLES)
        found.append(
            {
                "appliance_kind": key[0],
                "repair_code": key[1],
                "side": side,
                "models": "; ".join(models),
                "jobs": len(own),
                "p50_minutes": float(np.median(own)),
                "planned_minutes": planned.planned_min if planned else None,
                "planned_low": planned.low if planned else None,
                "planned_high": planned.high if planned else None,
                "ratio": split.ratio,
                "ratio_low": split.low,
                "ratio_high": split.high,
                "p_value": split.p_value,
            }
        )
    return found


def _judged(sides: pd.DataFrame) -> pd.DataFrame:
    """Add q_value and flagged; the two rows of a repair share them."""
    one = sides[sides["side"] == QUICK]
    q_of = dict(zip(zip(one["appliance_kind"], one["repair_code"], strict=True),
                    q_values(one["p_value"].tolist()), strict=True))  # fmt: skip
    keys = list(zip(sides["appliance_kind"], sides["repair_code"], strict=True))
    least = sides.groupby(REPAIR)["jobs"].transform("min")
    q_value = pd.Series([q_of[key] for key in keys], index=sides.index, dtype="float64")
    flagged = (q_value <= MOST_FALSE) & (sides["ratio_low"] > 1) & (least >= LEAST_SIDE_JOBS)
    judged = sides.assign(q_value=q_value, flagged=flagged.astype(bool))
    return judged.sort_values(["p_value", *REPAIR, "side"], ignore_index=True)
