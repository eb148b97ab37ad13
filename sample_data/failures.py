"""What a failed part reads: in the direction and of the size that the failure gives."""

from random import Random

NONE = ("0 V", "0", "none", "near zero", "no supply or signal")
# (test point, what is seen) to the span of values, in the unit of the test point
SPANS: dict[tuple[str, str], tuple[float, float]] = {
    ("fz_temp", "warm"): (-7.0, 6.0),
    ("ff_temp", "warm"): (9.0, 19.0),
    ("exhaust_temp", "high"): (91.0, 108.0),
    ("exhaust_temp", "low"): (28.0, 45.0),
    ("dryer_total_current_a", "motor amps only"): (4.2, 6.3),
    ("dryer_total_current_a", "half"): (11.0, 13.5),
    ("dryer_total_current_a", "low"): (10.0, 13.5),
    ("comp_current_a", "low"): (0.05, 0.18),
    ("comp_current_a", "high"): (8.2, 9.5),
    ("oven_igniter_current_a", "low"): (1.9, 2.75),
    ("mw_water_rise", "none"): (0.0, 0.0009),
    ("mw_water_rise", "low"): (0.004, 0.0095),
    ("ac_temp_drop", "0"): (0.0, 0.8),
    ("ac_temp_drop", "0-2"): (0.0, 2.0),
    ("ac_temp_drop", "low"): (1.5, 4.6),
    ("ac_temp_drop", "off"): (1.0, 4.6),
    ("ac_running_current_a", "fan only"): (0.1, 0.2),
    ("ac_running_current_a", "off"): (0.1, 0.3),
    ("ac_running_current_a", "low"): (0.25, 0.38),
    ("ac_running_current_a", "high"): (1.33, 1.5),
    ("gas_supply_pressure", "0 or low"): (0.0, 3.0),
    ("gas_manifold_pressure", "0"): (0.0, 0.3),
    ("vent_back_pressure", "high"): (1.05, 1.9),
    ("oven_temp_check", "off"): (115.0, 145.0),
    ("oven_temp_check", "low"): (115.0, 145.0),
    ("washer_motor_balance_pct", "uneven"): (24.0, 60.0),
    ("supply_line_neutral_v", "low"): (88.0, 102.0),
    ("dryer_centrifugal_heat_drop_v", "supply volts across"): (110.0, 122.0),
}
LOCKED_AMPS = (9.0, 13.5)
# no machine exceeds these: limits open, breakers of 30 A, regulators of 14 in w.c.
TOPS = {"exhaust_temp": 108.0, "dryer_total_current_a": 32.0, "gas_supply_pressure": 14.0}


def failed_value(rng: Random, test_point: str, limit: dict[str, str], seen: str) -> float | None:
    """Return what a part that has failed in this way reads; None: the meter shows open."""
    if (test_point, seen) in SPANS:
        return rng.uniform(*SPANS[test_point, seen])
    if "120" in seen and rng.random() < 0.6:
        return rng.gauss(120, 2)
    if "locked" in seen and limit["unit_ucum"] == "A":
        return rng.uniform(*LOCKED_AMPS) if seen == "locked" or rng.random() < 0.5 else 0.0
    if "OL" in seen and limit["open_verdict"] == "fail":
        return None
    if seen in NONE or limit["unit_ucum"] == "V":
        return abs(rng.gauss(0, 0.4))
    if limit["open_verdict"] == "pass":  # to chassis, or a contact that should be open
        return rng.uniform(2e3, 8e4) if "finite" in seen else rng.uniform(0.1, 3.0)
    return _beyond(rng, limit, seen)


def misread_value(rng: Random, test_point: str, limit: dict[str, str]) -> float | None:
    """Return a wrong reading of a sound part: worn leads, wrong moment, a moving temperature."""
    low, high, below, above = _numbers(limit)
    if limit["open_verdict"] == "pass":
        return rng.uniform(2e4, 9e4) if high is None else (above or high) * rng.uniform(1.03, 1.3)
    if limit["unit_ucum"] == "V":
        return (below or low) * rng.uniform(0.86, 0.97) if low else (above or high or 0) * 1.1
    if above and rng.random() < 0.5:
        return above * rng.uniform(1.03, 1.15)
    return _short_of(rng, below, above)


def _short_of(rng: Random, below: float | None, above: float | None) -> float:
    if below is None or below == 0:
        return (above or 1.0) * rng.uniform(1.03, 1.15)
    return below - abs(below) * rng.uniform(0.03, 0.15)


def _beyond(rng: Random, limit: dict[str, str], seen: str) -> float | None:
    """Return a value beyond the fail limits, on the side that the words say."""
    _, _, below, above = _numbers(limit)
    is_low = any(word in seen for word in ("low", "shorted", "weak", "half"))
    if not is_low and limit["open_verdict"] == "fail" and rng.random() < 0.6:
        return None
    if below and (is_low or not above or rng.random() < 0.4):
        return below - abs(below) * rng.uniform(0.1, 0.6)
    return above * rng.uniform(1.1, 1.8) if above else 0.0


def _numbers(limit: dict[str, str]) -> tuple[float | None, ...]:
    low, high, below, above = (
        float(limit[name]) if limit[name] else None
        for name in ("low", "high", "fail_below", "fail_above")
    )
    return low, high, below if below is not None else low, above if above is not None else high
