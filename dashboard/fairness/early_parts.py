"""Part numbers whose repairs come back early: counts by day → one row per part, tested."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from typing import Any, cast

import numpy as np
import pandas as pd

from dashboard.stats.multiple_testing import adjusted_for_any, by_information
from dashboard.stats.one_group import against_others, chance_of_so_many, chances
from dashboard.stats.proportion import wilson

LEAST_PART_JOBS = 5  # under that a part number is not asked: it could only cry wolf
# Shops flagged without a bad part for each one that the binomial expects, in 500 drawn shops: a
# part whose repairs fail early has fewer left at risk, which the binomial does not know beforehand.
FLAGGED_PER_EXPECTED = 4 / 3
ANY_FALSE_FLAG = 0.05 / FLAGGED_PER_EXPECTED  # so that 5 % of such shops are flagged
MANY = 1000  # failures from which on the values of p lie so close that any can be reached
PART = ["appliance_kind", "component", "part_no"]
COLUMNS = [
    *PART, "jobs", "callbacks", "rate", "low", "high", "other_jobs", "other_callbacks",
    "followed", "returns", "expected", "log_rank_z", "p_value", "adjusted_p", "flagged",
]  # fmt: skip


def early_parts(days: pd.DataFrame, _rows: Callable[..., Any] | None = None) -> pd.DataFrame:
    """Return one row per appliance kind, component and part number (sql/measures/early_parts).

    p_value, adjusted_p and flagged are those of the part number over all its kinds and components.
    An empty table stays empty.
    """
    if days.empty:
        return pd.DataFrame(columns=COLUMNS)
    parts = pd.DataFrame(_compared(days.dropna(subset=PART)))
    limits = wilson(parts["callbacks"], parts["jobs"])
    parts["rate"] = parts["callbacks"] / parts["jobs"].where(parts["jobs"] > 0)
    parts["low"], parts["high"] = limits.low, limits.high
    parts = parts.merge(_tested(parts), on="part_no", how="left")
    parts["flagged"] = parts["adjusted_p"] <= ANY_FALSE_FLAG
    return parts[COLUMNS].sort_values(PART, ignore_index=True)


def _compared(days: pd.DataFrame) -> dict[str, list[Any]]:
    """Compare the part numbers of each component of each appliance kind; return columns."""
    part, names = pd.factorize(days["part_no"], sort=True)
    day = days["day"].to_numpy()
    counts = {name: days[name].to_numpy(int) for name in ("seen", "back", "mature", "callbacks")}
    result: dict[str, list[Any]] = defaultdict(list)
    strata = cast("dict[Any, np.ndarray]", days.groupby(PART[:2]).indices)
    for (kind, component), rows in sorted(strata.items()):
        present, of_part = np.unique(part[rows], return_inverse=True)
        _, on_day = np.unique(day[rows], return_inverse=True)
        by_day = {name: _by_day(of_part, on_day, each[rows]) for name, each in counts.items()}
        named = ([kind] * len(present), [component] * len(present), names[present])
        columns: dict[str, Any] = dict(zip(PART, named, strict=True))
        columns |= _stratum(by_day, component != "not recorded")
        for name, values in columns.items():
            result[name].extend(values)
    return result


def _by_day(part: np.ndarray, day: np.ndarray, counts: np.ndarray) -> np.ndarray:
    result = np.zeros((part.max() + 1, day.max() + 1), int)
    np.add.at(result, (part, day), counts)
    return result


def _stratum(by_day: Mapping[str, np.ndarray], is_named: bool) -> dict[str, np.ndarray]:
    """Compare the part numbers of one component of one appliance kind, a row each."""
    found = against_others(by_day["seen"], by_day["back"])
    followed, back, jobs, returned = (
        by_day[name].sum(axis=1) for name in ("seen", "back", "mature", "callbacks")
    )
    is_alone = (followed == followed.sum()) | (not is_named)
    return {
        "jobs": jobs,
        "callbacks": returned,
        "other_jobs": np.where(is_alone, 0, jobs.sum() - jobs),
        "other_callbacks": np.where(is_alone, 0, returned.sum() - returned),
        "followed": followed,
        "returns": back,
        "expected": np.where(is_alone, np.nan, found.expected),
        "variance": np.where(is_alone, 0.0, found.variance),
        "failures": np.where(is_alone, 0.0, found.failures),
        "information": back.sum() * followed * (followed.sum() - followed) / followed.sum() ** 2,
    }


def _tested(parts: pd.DataFrame) -> pd.DataFrame:
    """Return p and adjusted p of every part number with enough jobs next to alternatives."""
    compared = parts[parts["expected"].notna()]
    sums = compared.groupby("part_no")[
        ["followed", "returns", "expected", "variance", "failures", "information"]
    ].sum()
    sums = sums[sums["followed"] >= LEAST_PART_JOBS]
    returns, expected, failures = (
        sums[name].to_numpy(float) for name in ("returns", "expected", "failures")
    )
    p_values = chance_of_so_many(returns, expected, failures)
    error = np.sqrt(sums["variance"].to_numpy(float))
    z = np.divide(returns - expected, error, out=np.full(len(sums), np.nan), where=error > 0)
    reached = [
        chances(mean, int(n)) if n <= MANY else None
        for mean, n in zip(expected, failures, strict=True)
    ]
    adjusted = adjusted_for_any(p_values, reached, by_information(sums["information"]))
    tested = {"log_rank_z": z, "p_value": p_values, "adjusted_p": adjusted}
    return pd.DataFrame({"part_no": sums.index.to_numpy(), **tested})
