"""What the meter shows at a test point: drawn from the truth, through the physics, with error."""

from random import Random

from sample_data import trade
from sample_data.shop import METER_FACTOR, METER_TECHNICIAN, Technician

HEATER_WATTS = {"dryer_element_ohm": (5400, 5600, 6000)}
OUTSIDE_WORDS = {
    "blocked": "blocked", "object": "blocked", "weak": "weak", "solid ice": "iced",
    "partial": "partial", "partial or none": "partial",
}  # fmt: skip


def reading(
    rng: Random, test_point: str, is_outside: bool, seen: str, person: Technician, plants: frozenset
) -> str:
    """Return what the technician writes for one test, as a plain value with a unit."""
    point, limit = trade.test_points()[test_point], trade.limits()[test_point]
    if point["quantity"] in ("observation", "quantity") or not (limit["low"] or limit["high"]):
        word = (
            OUTSIDE_WORDS.get(seen, "fail") if is_outside else rng.choice(("ok", "clear", "good"))
        )
        return word if point["quantity"] == "observation" else "OL" if is_outside else "closed"
    value = _outside(rng, limit, seen) if is_outside else _inside(rng, test_point, limit)
    if value is None:
        return "OL"
    if limit["limit_basis"] == "ratio_to_nameplate":
        value *= NAMEPLATES.get(point["unit_ucum"], 1.0)
    value *= rng.gauss(1.0, 0.008) * _meter_factor(point, person, plants)
    unit = "VDC" if point["quantity"] == "DC voltage" else point["unit_ucum"]
    return _written(value, unit)


NAMEPLATES = {"uF": 35.0, "A": 8.0}
OHMS = ("resistance", "continuity", "insulation resistance")


def _meter_factor(point: dict[str, str], person: Technician, plants: frozenset) -> float:
    is_planted = "meter_reads_high" in plants and person.name == METER_TECHNICIAN
    return METER_FACTOR if is_planted and point["quantity"] in OHMS else 1.0


def _number(text: str) -> float | None:
    return float(text) if text else None


def _inside(rng: Random, test_point: str, limit: dict[str, str]) -> float | None:
    low, high = _number(limit["low"]), _number(limit["high"])
    if test_point in HEATER_WATTS:
        return 240**2 / rng.choice(HEATER_WATTS[test_point]) / 1.05
    if limit["unit_ucum"] == "V" and low and low >= 100:
        nominal = 240 if high > 200 else 120
        return rng.gauss(nominal, nominal * 0.012)
    if high is None:
        return None if rng.random() < 0.85 else (low or 1) * rng.uniform(20, 400)
    if (low or 0) == 0 and limit["unit_ucum"] == "Ohm":
        return min(abs(rng.gauss(0.15, 0.1)), high)
    low = low or 0.0
    return rng.triangular(low + 0.08 * (high - low), high - 0.08 * (high - low), (low + high) / 2)


def _outside(rng: Random, limit: dict[str, str], seen: str) -> float | None:
    low, high = _number(limit["low"]), _number(limit["high"])
    below, above = _number(limit["fail_below"]) or low, _number(limit["fail_above"]) or high
    if limit["unit_ucum"] == "V":
        if "120" in seen and rng.random() < 0.6:
            return rng.gauss(120, 2)
        is_supply = low is not None and low > 0
        return abs(rng.gauss(0, 0.01 * low)) if is_supply else (above or 1) * rng.uniform(1.5, 4)
    if "OL" in seen and limit["open_verdict"] == "fail":
        return None
    if limit["open_verdict"] == "pass":
        return rng.uniform(0.1, 40)
    if seen in ("0", "low", "shorted", "weak", "motor amps only", "fan only") and below:
        return below * rng.uniform(0.05, 0.75)
    if limit["open_verdict"] == "fail" and rng.random() < 0.6:
        return None
    return above * rng.uniform(1.3, 2.5) if above else (below or 1) * rng.uniform(0.1, 0.7)


def _written(value: float, unit: str) -> str:
    if unit == "Cel":
        return f"{value * 1.8 + 32:.0f} F"
    if unit == "K":
        return f"{value * 1.8:.0f} F"
    if unit == "Ohm" and abs(value) >= 1e6:
        return f"{value / 1e6:.3g} M"
    if unit == "Ohm" and abs(value) >= 1e4:
        return f"{value / 1e3:.3g} k"
    digits = 0 if abs(value) >= 100 else 1
    sign = {"[in_i'H2O]": "wc", "MOhm": "M", "Ohm": "ohm"}.get(unit, unit)
    return f"{value:.{digits}f} {sign}"
