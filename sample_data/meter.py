"""What the meter shows at a test point: drawn from the truth, through the physics, with error."""

from dataclasses import dataclass
from random import Random

from sample_data import trade
from sample_data.failures import TOPS, failed_value, misread_value
from sample_data.shop import METER_FACTOR, METER_TECHNICIAN, Technician

HEATER_WATTS = {"dryer_element_ohm": (5200, 5400, 5600)}
OUTSIDE_WORDS = {"blocked": "blocked", "object": "blocked", "weak": "weak", "solid ice": "iced"}
OHMS = ("resistance", "continuity", "insulation resistance")
TOP_OHM = 40e6  # a 4,000-count meter shows OL above 40 MOhm (common practice, no source)
NOTED = 0.85  # how often the type of a part is written down where the limits ask for it
# the type that a part is of, as noted, and the row of limits that holds for it
TYPES = {
    "oven_igniter_current_a": ("flat", "flat type"),
    "gas_manifold_pressure": ("natural gas", "natural gas dryer or range"),
    "gas_supply_pressure": ("natural gas", "natural gas"),
    "washer_lid_lock_coil_ohm": ("solenoid", "solenoid type"),
    "washer_run_capacitor_uf": ("run capacitor", "run capacitor, relative to nameplate N"),
}
# what is on the nameplate, and the row of limits that holds for it; capacitors have their own size
NAMEPLATES = {
    "mw_water_rise": (("900 W", "1000 W", "1100 W"), "1 liter, 60 s, rated watts W"),
    "ac_comp_supply_v": (("115 V",), "cooling called, unit of 115 or 120 V"),
    "ac_running_current_a": (("7.5 A", "9.8 A", "11 A"), ""),
    "ac_run_capacitor_uf": (("25 uF", "30 uF", "35 uF", "45 uF"), ""),
    "cold_run_capacitor_uf": (("12 uF", "15 uF"), ""),
    "washer_run_capacitor_uf": (("30 uF", "43 uF", "60 uF"), TYPES["washer_run_capacitor_uf"][1]),
}


@dataclass(frozen=True)
class Shown:
    """A reading as a technician writes it: value with unit, type of the part, nameplate."""

    text: str
    noted: str = ""
    nameplate: str = ""


def reading(
    rng: Random,
    kind: str,
    test_point: str,
    is_outside: bool,
    seen: str,
    person: Technician,
    plants: frozenset[str],
) -> Shown:
    """Return what the technician writes for one test, as a plain value with a unit."""
    point = trade.test_points()[test_point]
    plates, plate_variant = NAMEPLATES.get(test_point, ((), ""))
    noted, type_variant = TYPES.get(test_point, ("", ""))
    limit = trade.limits(test_point, kind, type_variant or plate_variant)
    if point["quantity"] == "observation" or not (limit["low"] or limit["high"]):
        return Shown(_word(rng, point, is_outside, seen))
    plate = rng.choice(plates) if plates else ""
    value = _drawn(rng, test_point, limit, is_outside, seen)
    noted = noted if noted and rng.random() < NOTED else ""
    written_plate = plate if plate and rng.random() < NOTED else ""
    if value is None:
        return Shown("OL", noted, written_plate)
    if limit["limit_basis"] == "ratio_to_nameplate":
        value *= float(plate.split()[0])
    value *= rng.gauss(1.0, 0.008) * _meter_factor(point, person, plants)
    if point["quantity"] in OHMS and value > TOP_OHM:
        return Shown("OL", noted, written_plate)
    unit = "VDC" if point["quantity"] == "DC voltage" else point["unit_ucum"]
    return Shown(_written(value, unit), noted, written_plate)


def _word(rng: Random, point: dict[str, str], is_outside: bool, seen: str) -> str:
    """Write what was seen or felt; of a contact without limits, whether it was open."""
    if point["quantity"] != "observation":
        return "OL" if is_outside else "closed"
    return OUTSIDE_WORDS.get(seen, "fail") if is_outside else rng.choice(("ok", "clear", "good"))


def _drawn(
    rng: Random, test_point: str, limit: dict[str, str], is_outside: bool, seen: str
) -> float | None:
    """Draw the true value, None for open: sound, failed as `seen` says, or misread."""
    if not is_outside:
        return _inside(rng, test_point, limit)
    is_sound = seen in ("", "inside limits")
    value = (
        misread_value(rng, test_point, limit)
        if is_sound
        else failed_value(rng, test_point, limit, seen)
    )
    return value if value is None else min(value, TOPS.get(test_point, value))


def _meter_factor(point: dict[str, str], person: Technician, plants: frozenset[str]) -> float:
    is_planted = "meter_reads_high" in plants and person.name == METER_TECHNICIAN
    return METER_FACTOR if is_planted and point["quantity"] in OHMS else 1.0


def _inside(rng: Random, test_point: str, limit: dict[str, str]) -> float | None:
    low, high = (float(limit[name]) if limit[name] else None for name in ("low", "high"))
    if test_point in HEATER_WATTS:
        return 240**2 / rng.choice(HEATER_WATTS[test_point]) / 1.05
    if limit["unit_ucum"] == "V" and low and low >= 100:
        nominal = 240 if high and high > 200 else 120
        return rng.gauss(nominal, nominal * 0.012)
    if high is None:
        return None if rng.random() < 0.85 else rng.uniform(5e6, 35e6)
    if (low or 0) == 0 and limit["unit_ucum"] == "Ohm":
        return min(abs(rng.gauss(0.15, 0.1)), high)
    low = low or 0.0
    return rng.triangular(low + 0.08 * (high - low), high - 0.08 * (high - low), (low + high) / 2)


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
