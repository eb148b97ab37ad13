"""What the reading pages say in words: limits, answers, cautions, where a limit comes from."""

from typing import Any

import pandas as pd

from dashboard.text import format as words

LEGEND = (
    "The green band is inside the limits; a dashed outline is a weak limit; beyond a dotted line "
    "is outside, between band and line doubtful. Open readings stand apart at the right: open is a "
    "state, not a large number."
)
TRUST = {
    "strong": "strong: a standard, or physics that holds for every model",
    "medium": "medium: derived, or a standard seen second hand",
    "weak": "weak: common practice; no share is counted by it",
    "none": "none",
}


def band(low: float, high: float, unit: str) -> str:
    """Write limits as "8 to 10 Ω", "at least 1 MΩ", "at most 2 Ω" or "none in numbers"."""
    if words.is_missing(low) and words.is_missing(high):
        return "none in numbers"
    if words.is_missing(high):
        return f"at least {words.significant(low, unit, 4)}"
    if words.is_missing(low):
        return f"at most {words.significant(high, unit, 4)}"
    return f"{words.significant(low, unit, 4)} to {words.significant(high, unit, 4)}"


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


def with_units(table: pd.DataFrame, *columns: str) -> pd.DataFrame:
    """Return the table with these columns written with the row's unit: "9.4 Ω", "164 MΩ"."""
    written = {
        column: [
            words.significant(value, unit, 4)
            for value, unit in zip(table[column], table["unit"], strict=True)
        ]
        for column in columns
    }
    return table.assign(**written)


def answer(row: pd.Series) -> str:
    """Say how the readings of one test point lie against its limits."""
    limits = band(row.tol_low, row.tol_high, row["ucum"])
    counts = f"{words.counted(row.readings, 'reading')}, {row.over_limit:,} of them open"
    if row.judged == 0:
        return (
            f"**{counts}.** Limits: {limits}. They are weak, need the nameplate, or give no "
            "verdict: no share out of tolerance is told."
        )
    outside = round(row.share_outside * row.judged)
    told = words.rate(outside, row.judged, row.outside_low, row.outside_high, "readings")
    sure = round(row.sure_outside * row.judged)
    text = f"**{told}** lie outside the limits ({limits}); {sure:,} of them even if the meter erred"
    left_out = row.readings - row.judged
    text += f"; {row.over_limit:,} were open."
    return text + (f" {left_out:,} have no verdict and are left out." if left_out else "")


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
    """Say the first and the last monthly median."""
    known = months[months["n"] > 0]
    first, last = known.iloc[0], known.iloc[-1]
    return (
        f"Monthly median of parts that stayed: {words.significant(first.p50)} {unit} in "
        f"{first.month}, {words.significant(last.p50)} {unit} in {last.month}."
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
