"""One reading in words: the answer, and the arithmetic behind it."""

from dashboard.readings.sentences import beyond
from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.text.limits import limits_in_full

BY_NAMEPLATE = {
    "ratio_to_nameplate": "Times the nameplate of",
    "per_watt": "Divided by the nameplate of",
}
LEADS_COUNT_BELOW = 200  # ohms: above, the leads' own resistance is lost in the digits


def answer(row: Row, name: str, value: float | None) -> tuple[str, str]:
    """Return (level, sentence) of a row of pages/judged_reading; level: inside, …, "none".

    `value` None means open.
    """
    if words.is_missing(row.limits_id):
        return "none", (
            "No limits apply: the register has none for this case. Add your own in limits.csv."
        )
    if words.is_missing(row.decision):
        why = (
            "this limit goes by the nameplate; enter it."
            if row.limit_basis in BY_NAMEPLATE
            else "the rule needs more than this one reading."
        )
        return "none", f"No verdict: {why}"
    if row.decision == "note_type":
        return "none", f"No verdict: note the {row.to_note}. The limits differ by it."
    read = "open" if value is None else words.significant(value, row.unit, 4)
    spec = f"{name} reads {read}, spec {limits_in_full(row.low, row.high, row.unit)}."
    verdicts = {
        "inside": f"Inside the limits. {spec}",
        "doubtful": f"Doubtful. {spec} Repeat the reading, note the temperature, isolate the part.",
        "outside": f"Outside the limits. {spec} Repeat it before you order a part.",
    }
    return row.decision, verdicts[row.decision]


def arithmetic(
    row: Row,
    limits_name: str,
    value: float | None,
    ambient_cel: float | None,
    nameplate_unit: str | None,
) -> list[str]:
    """Write each step from the register's row to the decision."""  # fmt: skip
    lines = [f"Limits used: {limits_name}."]
    if not words.is_missing(row.nameplate) and row.limit_basis in BY_NAMEPLATE:
        lines.append(f"{BY_NAMEPLATE[row.limit_basis]} {row.nameplate:g} {nameplate_unit}.")
    if row.low_ratio != 1 or row.high_ratio != 1:
        lines.append(
            f"Moved from {words.temperature(row.ref_temp_cel)} to "
            f"{words.temperature(ambient_cel)} by the law "
            f"{row.temp_model.replace('_', ' ')} ({row.temp_params}): × {row.low_ratio:.4f} below, "
            f"× {row.high_ratio:.4f} above."
        )
    lines.append(
        f"Inside: {limits_in_full(row.low, row.high, row.unit)}; outside: "
        f"{beyond(row.fail_below, row.fail_above, row.unit)}."
    )
    return lines + ([] if words.is_missing(row.p_in) else _meter(row, value or 0))


def _meter(row: Row, value: float) -> list[str]:
    def number(amount: float) -> str:
        return words.significant(amount, row.unit, 4)

    lead = row.lead_ohm if abs(value) < LEADS_COUNT_BELOW else 0
    leads = f" + leads {lead:g} Ω" if lead else ""
    return [
        f"Meter: a = {row.accuracy_pct:g}% × {number(abs(value))} + {row.digits:g} × "
        f"{number(row.digit)}{leads} = {number(row.half_width)}; u = a / √3 = "
        f"{number(row.meter_u)}.",
        f"Chance that the true value is inside: {words.percent(row.p_in, 1)}; that it is outside: "
        f"{words.percent(row.p_out, 1)}. Decided at 95%.",
    ]
