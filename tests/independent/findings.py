"""What the program's pages would name in a drawn shop: the plants that it finds, and innocents."""

from pathlib import Path

from dashboard.diagnosis.comparison import compared
from tests.ask import measure
from tests.independent.invented_shop import (
    BAD_MONTH,
    BAD_PART,
    LOW_PRICE,
    OFF_METER,
    WRONG_TECHNICIAN,
)


def named(folder: Path) -> dict[str, set]:
    """Return whom or what each page names, by plant."""
    groups = measure(folder, "misdiagnosis", group_by="technician")
    groups["label"] = groups["group"]
    people = compared(groups, "with_pattern", "asked", 20)
    meters = measure(folder, "meter_check")
    parts = measure(folder, "early_parts")
    months = measure(folder, "month_signals")
    prices = measure(folder, "flat_rate")
    is_far = months["signals"].fillna("").str.contains("beyond 3 sigma")
    lost = prices[prices["result_now"] < 0]
    return {
        "technician": set(people.loc[people["verdict"] == "different", "group"]),
        "meter": set(meters.loc[meters["flagged"], "technician"]),
        "part": set(parts.loc[parts["flagged"], "part_no"]),
        "month": set(months.loc[is_far, "month"]),
        "missing": _missing(folder),
        "price": set(zip(lost["appliance_kind"], lost["repair_code"], strict=True)),
    }


def _missing(folder: Path) -> set:
    """Return the complaint for which most trips were lost because a part was not on the van."""
    reasons = measure(folder, "repeat_visits", group_by="symptom")
    lost = reasons[reasons["reason"] == "part_needed"].sort_values("visits")
    first, second = lost["visits"].iloc[-1], lost["visits"].iloc[-2]
    return {lost["group"].iloc[-1]} if first > 1.5 * second else set()


PLANTED = {
    "technician": WRONG_TECHNICIAN,
    "meter": OFF_METER,
    "part": BAD_PART,
    "month": BAD_MONTH,
    "missing": "wont_spin",
    "price": LOW_PRICE,
}
