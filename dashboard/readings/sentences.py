"""What the reading pages say in words: limits, answers, cautions, where a limit comes from."""

from collections.abc import Callable
from typing import Any

import pandas as pd

from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.limits import limits_in_full, limits_words

LEGEND = (
    "The green band is inside the limits; a dashed outline is a weak limit. Beyond a dotted line "
    "is outside; between band and line is doubtful. Open readings have their own bar at the right."
)
TRUST = {
    "strong": "strong: a standard, or physics that holds for every model",
    "medium": "medium: derived, or a standard quoted by another source",
    "weak": "weak: common practice; no share is counted against it",
    "none": "none",
}


VERDICTS = {
    "inside": "inside limits",
    "outside": "outside limits",
    "doubtful": "doubtful",
    "note_type": "no verdict: type not noted",
}


def verdict_words(decision: str) -> str:
    """Write what was decided of a reading."""
    return VERDICTS.get(decision, decision)


def beyond(below: float, above: float, unit: str) -> str:
    """Write where outside begins: "below 4 Ω or above 40 Ω"; nothing gives "beyond these"."""
    parts = [] if words.is_missing(below) else [f"below {words.significant(below, unit, 4)}"]
    parts += [] if words.is_missing(above) else [f"above {words.significant(above, unit, 4)}"]
    return " or ".join(parts) or "beyond these"


def nameplate_unit(limits: pd.DataFrame) -> str | None:
    """Return the unit in which a point's limits ask for the nameplate; None where none does."""
    asked = {str(need).split()[0] for need in limits["needs_nameplate"].dropna()}
    ratios = limits[limits["limit_basis"] == "ratio_to_nameplate"]
    asked |= set(ratios.loc[ratios["needs_nameplate"].isna(), "unit"])
    return min(asked) if asked else None


def types_noted(limits: pd.DataFrame) -> list[str]:
    """Return a word for each type of part that a point's limits distinguish."""
    return list(dict.fromkeys(str(w).split("|")[0] for w in limits["type_words"].dropna()))


def distributions(table: pd.DataFrame, name: Callable[[str], str]) -> pd.DataFrame:
    """Return rows of the measure reading_distribution in words.

    `unit` becomes the sign, `ucum` keeps the code. Adds label, n_words, range_words, limits_words,
    outside_words, doubtful_words.
    """
    named = table.assign(
        label=[name(point) for point in table["test_point"]],
        ucum=table["unit"],
        unit=[words.unit_sign(unit) for unit in table["unit"]],
    )
    rows = list(each_row(named))
    return named.assign(
        n_words=[_counted(row) for row in rows],
        range_words=[_range(row) for row in rows],
        limits_words=[limits_in_full(row.tol_low, row.tol_high, row.ucum) for row in rows],
        outside_words=[
            f"{words.percent(row.share_outside)} of {row.judged:,}" if row.judged else "no verdict"
            for row in rows
        ],
        doubtful_words=[words.percent(row.share_doubtful) for row in rows],
    )


def _counted(row: Row) -> str:
    return f"{row.n:,}" + (f" and {row.over_limit:,} open" if row.over_limit else "")


def _range(row: Row) -> str:
    if words.is_missing(row.p50):
        return words.MISSING
    median = words.significant(row.p50, row.ucum, 4)
    return f"{median} ({limits_words(row.p05, row.p95, row.ucum)})"


def answer(row: Row) -> str:
    """Say how the readings of one test point lie against its limits; a row of `distributions`."""
    spec = limits_in_full(row.tol_low, row.tol_high, row["ucum"])
    if row.judged == 0:
        count = words.counted(row.readings, "reading")
        return (
            f"**{row['label']}: {count}, {row.over_limit:,} open.** Spec: {spec}. No "
            "share outside limits is given: the limits are weak, need the nameplate, or give no "
            "verdict."
        )
    outside = round(row.share_outside * row.judged)
    share = words.rate(outside, row.judged, row.outside_low, row.outside_high, "readings")
    sure = round(row.sure_outside * row.judged)
    left_out = row.readings - row.judged
    return (
        f"**{row['label']}: {share} outside limits** (spec {spec}); {sure:,} of them even allowing "
        f"for meter error, {row.over_limit:,} open."
        + (f" {left_out:,} without a verdict are not counted." if left_out else "")
    )


def caution_ids(limit: pd.Series, known: dict[str, Any]) -> list[str]:
    """Return the cautions of a test point: its hazards, and lock-out where it is read dead."""
    hazards = [name for name in str(limit["hazards"] or "").split("|") if name in known]
    is_dead = limit["energised"] != "energised" and limit["quantity"] != "observation"
    if limit["quantity"] == "capacitance" and "stored_energy" not in hazards:
        hazards.append("stored_energy")
    return [*dict.fromkeys(hazards), *(("lock_out",) if is_dead else ())]


def picked_bar(event: Any) -> dict[str, Any] | None:
    """Return the bar that was clicked as parameters of pages/reading_jobs, or None."""
    points = event["selection"]["points"] if event else []
    if not points or "customdata" not in points[0]:
        return None
    given = points[0]["customdata"]
    values = list(given.values()) if isinstance(given, dict) else list(given)
    is_open, smallest, largest, is_replaced = values[:4]
    chosen = {"is_open": bool(is_open), "is_replaced": bool(is_replaced)}
    return chosen if is_open else chosen | {"smallest": smallest, "largest": largest}


def drift_text(months: pd.DataFrame, unit: str) -> str:
    """Say the first and the last monthly median of parts that stayed; `unit` is the UCUM code."""
    known = months[months["n"] > 0]
    first, last = known.iloc[0], known.iloc[-1]
    return (
        f"Median where the part was not replaced: {words.significant(first.p50, unit)} in "
        f"{words.month(first.month)}, {words.significant(last.p50, unit)} in "
        f"{words.month(last.month)}."
    )


def applies(limit: pd.Series) -> str:
    """Say for which appliances, days and conditions a row of limits holds."""
    parts = [str(limit["variant"])] if limit["variant"] else []
    scope = [str(limit[name]) for name in ("model", "brand", "kind") if limit[name]]
    if limit["is_own"]:
        parts.insert(0, "the shop's own" + (f" for {' '.join(scope)}" if scope else ""))
    for word, name in (("from", "valid_from"), ("to", "valid_to")):
        if not words.is_missing(limit[name]):
            parts.append(f"{word} {words.day(limit[name])}")
    return ", ".join(parts) or "every case"
