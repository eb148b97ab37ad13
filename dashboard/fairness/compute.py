"""What SQL cannot compute of the rates: what lies within the normal range, and what does not."""

from collections.abc import Callable

import numpy as np
import pandas as pd

from dashboard.fairness.early_parts import early_parts
from dashboard.fairness.month_reasons import month_reasons
from dashboard.fairness.others_rate import set_aside
from dashboard.fairness.season import season
from dashboard.rows import Row, each_row
from dashboard.stats import control_chart, funnel, shrinkage
from dashboard.stats.observed_expected import observed_over_expected

Rows = Callable[[str], pd.DataFrame]
FAIR = (
    "ratio", "ratio_low", "ratio_high", "adjusted_rate", "shrunk_rate", "shrunk_low",
    "shrunk_high", "funnel",
)  # fmt: skip
JUDGED = ["judged_rate", "judged_jobs", "judged_against"]
MONTH_COLUMNS = [
    "month", "mature", "fixed_first_time", "rate", "centre", "lower_3s", "upper_3s", "sigma_z",
    "signals", "low", "high", "pending", "is_baseline",
]  # fmt: skip
NOTHING = 1e-9  # less is nothing expected, but for rounding


def first_time_fix(table: pd.DataFrame, rows: Rows) -> pd.DataFrame:
    """Add the columns of FAIR after `expected`, chance_below last; missing where nothing is known.

    `shrunk_low` and `shrunk_high` are missing when the groups spread no more than by chance: then
    `shrunk_rate` is the shop's rate for all. An empty table stays empty.
    """
    spread = shrinkage.fit(table["fixed_first_time"].tolist(), table["mature"].tolist())
    found = [_ratio(row) | _shrunk(row, spread) for row in each_row(table)]
    fair = pd.DataFrame(found, columns=[*FAIR, "chance_below", *JUDGED], index=table.index)
    numbers = fair.columns.drop("funnel")
    fair[numbers] = fair[numbers].astype(float)
    fair[[*JUDGED, "funnel"]] = _judged(table, fair["adjusted_rate"], rows)
    kept = table.drop(columns=["is_mix_apart", "shop_mature"], errors="ignore")
    result = pd.concat([kept, fair], axis=1)
    front = table.columns[: table.columns.tolist().index("expected") + 1].tolist()
    return result[front + list(FAIR) + [c for c in result if c not in (*front, *FAIR)]]


def _ratio(row: Row) -> dict[str, float | None]:
    """Compare the jobs not fixed with the expected ones; nothing without mature jobs."""
    if row.mature == 0:
        return {}
    failed, expected = row.mature - row.fixed_first_time, row.mature - row.expected
    ratio = observed_over_expected(failed, expected if expected > NOTHING else 0.0)
    if ratio is None:
        return {}
    return {
        "ratio": ratio.value,
        "ratio_low": ratio.low,
        "ratio_high": ratio.high,
        "adjusted_rate": float(np.clip(1 - ratio.value * (1 - row.shop_rate), 0, 1)),
    }


def _judged(table: pd.DataFrame, adjusted: pd.Series, rows: Rows | None) -> pd.DataFrame:
    """Return what each group is judged by: a rate, the jobs that it is worth, the verdict.

    Groups that are the mix of work itself are judged by the rate as counted. For the others the
    expected rates leave out the group itself and every group that is clearly different.
    """
    if table.empty:
        return pd.DataFrame(columns=[*JUDGED, "funnel"])
    rate, jobs = table["rate"].astype(float), table["mature"].astype(float)
    against = table["shop_rate"].astype(float)
    if table["is_mix_apart"].astype(bool).all():
        rate = adjusted.fillna(rate)
        is_known = len(table) > 1 and pd.notna(table["shop_rate"].iloc[0])
        strata = rows("pages/fix_strata") if rows and is_known else None
        if strata is not None and strata["mature"].sum() == table["shop_mature"].iloc[0]:
            found = set_aside(strata).reindex(table["group"])
            rate = pd.Series(found["rate"].to_numpy(float), rate.index).fillna(rate)
            jobs = pd.Series(found["jobs"].to_numpy(float), rate.index).fillna(jobs)
            against = against.where(against.isna(), found["against"].max())
    verdicts = funnel.verdicts(rate, jobs, against)
    columns = dict(zip(JUDGED, (rate, jobs, against), strict=True))
    return pd.DataFrame(columns | {"funnel": verdicts})


def _shrunk(row: Row, spread: shrinkage.BetaBinomial | None) -> dict[str, float | None]:
    if row.mature == 0:
        return {}
    if spread is None:
        return {"shrunk_rate": row.shop_rate}
    shrunk = shrinkage.shrink(row.fixed_first_time, row.mature, spread, row.shop_rate)
    return {
        "shrunk_rate": shrunk.rate,
        "shrunk_low": shrunk.low,
        "shrunk_high": shrunk.high,
        "chance_below": shrunk.chance_below,
    }


def funnel_limits(shop_rate: float, most_jobs: int) -> pd.DataFrame:
    """Return the limits of chance for 1 to `most_jobs` jobs, at most 200 rows.

    Columns jobs, low_95, high_95, low_998, high_998.
    """
    jobs = np.unique(np.linspace(1, max(most_jobs, 2), 200).astype(int))
    low_95, high_95 = funnel.limits(shop_rate, jobs, funnel.LOOK)
    low_998, high_998 = funnel.limits(shop_rate, jobs, funnel.DIFFERENT)
    return pd.DataFrame(
        {
            "jobs": jobs,
            "low_95": low_95,
            "high_95": high_95,
            "low_998": low_998,
            "high_998": high_998,
        }
    )


def month_signals(table: pd.DataFrame, rows: Rows) -> pd.DataFrame:
    """Add centre, limits, sigma_z and the signals in words ('' = within normal variation).

    The baseline is that of all months, whatever period is shown, so that a month has one verdict on
    every page; a month of the baseline is judged by the others of it. A month without a mature job
    has no limits. An empty table stays empty.
    """
    known = table[table["mature"] > 0]
    is_baseline = _baseline(known)
    chart = control_chart.p_chart(known["fixed_first_time"], known["mature"], is_baseline)
    found = pd.DataFrame(index=known.index, columns=["centre", "lower_3s", "upper_3s", "sigma_z"])
    found["signals"] = None
    if chart is not None:
        low, high = chart.limits()
        z = chart.z(known["rate"])
        found["centre"], found["lower_3s"], found["upper_3s"] = chart.centre, low, high
        found["sigma_z"] = chart.sigma_z
        found["signals"] = ["; ".join(names) for names in control_chart.signals(z, known["rate"])]
        found.loc[np.isnan(chart.centre), "signals"] = None
    found["is_baseline"] = is_baseline
    numbers = ["centre", "lower_3s", "upper_3s", "sigma_z"]
    found[numbers] = found[numbers].astype(float)
    return table.join(found).loc[table["is_shown"].astype(bool), MONTH_COLUMNS]


def _baseline(known: pd.DataFrame) -> list[bool]:
    """Mark the first months without a pending job; all months when every one has pending jobs."""
    complete = known["pending"] == 0
    if not complete.any():
        return [True] * len(known)
    return (complete & (complete.cumsum() <= known["baseline_months"])).tolist()


def reversals(by_kind: pd.DataFrame, min_jobs: int) -> list[tuple[str, str]]:
    """Return pairs (better, worse): better within every appliance both work on, worse in total.

    Simpson's paradox. Only appliances with `min_jobs` mature jobs of both count, and at least two
    of them; their total is that of these appliances.
    """
    enough = by_kind[(by_kind["mature"] >= min_jobs) & by_kind["group"].notna()]
    tables = [
        enough.pivot(index="group", columns="appliance_kind", values=field)
        for field in ("mature", "fixed_first_time", "rate")
    ]
    names = tables[0].index.tolist()
    mature, fixed, rate = (table.to_numpy(float) for table in tables)
    return [
        (name, names[other])
        for one, name in enumerate(names)
        for other in _reversed_with(one, mature, fixed, rate)
    ]


def _reversed_with(one: int, mature: np.ndarray, fixed: np.ndarray, rate: np.ndarray) -> np.ndarray:
    """Return the groups that `one` betters within every shared appliance and trails in total.

    Arrays are groups by appliances; NaN where a group has too few jobs on an appliance.
    """
    shared = ~np.isnan(mature) & ~np.isnan(mature[one])
    betters = np.where(shared, rate[one] > rate, True).all(axis=1)
    own_fixed, own_jobs, others_fixed, others_jobs = (
        np.where(shared, counts, 0).sum(axis=1)
        for counts in (fixed[one], mature[one], fixed, mature)
    )
    trails = own_fixed * others_jobs < others_fixed * own_jobs
    return np.flatnonzero((shared.sum(axis=1) >= 2) & betters & trails)


COMPUTE: dict[str, Callable[..., pd.DataFrame]] = {
    "first_time_fix": first_time_fix,
    "month_signals": month_signals,
    "month_reasons": month_reasons,
    "early_parts": early_parts,
    "season": season,
}
