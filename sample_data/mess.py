"""The mess of real exports: spellings, date forms, duplicates, corrections, useless rows."""

from collections.abc import Callable, Mapping
from datetime import date
from random import Random
from typing import Any

from sample_data import trade

Record = dict[str, Any]

UNKNOWN_WORDS = ("see notes from office", "same as last summer", "cust will explain", "thing broke")
DISPOSITIONS = {
    "repaired": "Done",
    "no_fault_found": "Nothing wrong",
    "declined": "Said no",
    "beyond_repair": "Not worth it",
    "referred": "Passed on",
    "cancelled": "Called off",
    "open": "Waiting",
}
OUTCOMES = {
    "completed": "Finished",
    "part_not_on_van": "No part in van",
    "part_on_order": "Part ordered",
    "defective_part": "New part was bad",
    "misdiagnosis": "That was not it",
    "needs_two_people_or_tool": "Two needed",
    "no_access": "Nobody home",
    "customer_decision": "Customer thinks it over",
    "customer_cancelled": "Called off",
    "no_fault_found": "Nothing wrong",
}


def word(rng: Random, field: str, kind: str, id_: str | None) -> str | None:
    """Write an id as people write it: its label or one of its synonyms, rarely something else."""
    if id_ is None:
        return None
    table = {"symptom": trade.symptoms(), "root_cause": trade.causes()}.get(field)
    row = table[kind, id_] if table else trade.kinds()[id_]
    if field == "symptom" and rng.random() < 0.012:
        return rng.choice(UNKNOWN_WORDS)
    if rng.random() < 0.6:
        return row["label"]
    words = [w for w in row["synonyms"].split("|") if trade.is_clear(field, kind, w, id_)]
    return rng.choice(words) if words else row["label"]


def day(rng: Random, value: date | None, is_tidy: bool) -> str | None:
    """Write a date in one of the forms that a shop's files hold."""
    if value is None:
        return None
    if is_tidy:
        return value.isoformat()
    forms = ("%m/%d/%Y", "%Y-%m-%d", "%d %b %Y", "%b %d, %Y")
    return value.strftime(rng.choices(forms, (0.6, 0.25, 0.1, 0.05))[0])


def money(rng: Random, value: float | None) -> str | None:
    """Write an amount with or without its sign and separators."""
    if value is None:
        return None
    return rng.choice((f"${value:,.2f}", f"{value:.2f}", f"{value:,.2f}"))


def minutes(rng: Random, value: int) -> str:
    """Write minutes as people do."""
    hours, rest = divmod(value, 60)
    forms = [f"{value}", f"{value} min", f"{hours}:{rest:02d}"]
    return rng.choice([*forms, f"{hours}h{rest:02d}"] if hours else forms)


def meter_text(rng: Random, value: str) -> str:
    """Write a reading as technicians do: with or without blanks, signs and points."""
    number, _, unit = value.partition(" ")
    if not unit:
        return {"OL": rng.choice(("OL", "O.L.", "open", "OL"))}.get(value, value)
    if unit == "ohm":
        if rng.random() < 0.06 and "." in number:
            return number.replace(".", "R")
        return rng.choice((number, f"{number} Ω", f"{number} ohms", f"{number}ohm"))
    if unit == "V":
        return rng.choice((f"{number}V", f"{number} V", f"{number} VAC", number))
    if unit == "VDC":
        return rng.choice((f"{number}V", f"{number} VDC", number))
    return f"{number}{unit}" if rng.random() < 0.5 else value


def repeated(rng: Random, rows: list[Record], share: float) -> list[Record]:
    """Return the rows with exact copies of some of them further down."""
    copies = [dict(row) for row in rows if rng.random() < share]
    return _mixed(rng, rows, copies)


def corrected(
    rng: Random, rows: list[Record], share: float, field: str, change: Callable[[Record], object]
) -> list[Record]:
    """Return the rows with, for some, an older version before them that differs in one field."""
    result = []
    for row in rows:
        if rng.random() < share:
            result.append(row | {field: change(row)})
        result.append(row)
    return result


def spoiled(
    rng: Random, rows: list[Record], share: float, spoil: Mapping[str, Callable[[Record], Record]]
) -> list[Record]:
    """Return the rows with some of them spoiled, each in one of the ways given."""
    ways = sorted(spoil)
    return [row | spoil[rng.choice(ways)](row) if rng.random() < share else row for row in rows]


def _mixed(rng: Random, rows: list[Record], extra: list[Record]) -> list[Record]:
    result = list(rows)
    for row in extra:
        result.insert(rng.randint(len(result) // 2, len(result)), row)
    return result
