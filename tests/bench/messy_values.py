"""Written meter readings: numbers with and without units, words, and texts that are no reading."""

import numpy as np

import sql

TEXTS_PER_POINT = 200
USUAL = {  # common practice, no source: where the limits in sql/lookups name no plain range
    "resistance": (5.0, 60.0),
    "continuity": (0.1, 1.5),
    "AC voltage": (114.0, 126.0),
    "AC current": (1.0, 12.0),
    "capacitance": (20.0, 60.0),
}
UNITS = {
    "resistance": ("", "", "ohm", " ohms", " Ω", "R", " Ohm"),
    "continuity": ("", " ohm", " ohms", "Ω"),
    "AC voltage": ("", "", "V", " V", " VAC", "vac", " volts"),
    "AC current": ("", "", "A", " A", " amps", " Amps"),
    "capacitance": ("", "uF", " µF", " mfd", " MFD", "μF"),
}
OPEN = ("OL", "OL", "OL", "O.L.", "ol", "open", "Open", "inf", "∞", "no continuity")
CLOSED = ("closed", "beep", "continuity", "cont good")
VERDICTS = ("ok", "good", "in spec")
BAD = {  # a text and the code of sql/lookups/problem_codes_readings.csv that it deserves
    "see photo": "reading_not_understood",
    "0L": "reading_ambiguous",
    "short": "reading_second_point_missing",
    "9.4 psi": "reading_unit_of_other_quantity",
}

Written = tuple[str, str]  # the value, and the content of the column of units


def believable(test_point: str, quantity: str) -> tuple[float, float]:
    """Return the limits of a test point where they are plain numbers, else what is usual."""
    for row in sql.lookup("tolerances"):
        is_plain = row["limit_basis"] == "absolute" and row["unit_ucum"] in ("Ohm", "V", "A", "uF")
        if row["test_point"] == test_point and is_plain and row["low"] and row["high"]:
            return float(row["low"]), float(row["high"])
    return USUAL[quantity]


def inside(rng: np.random.Generator, test_point: str, quantity: str) -> list[Written]:
    """Return written values within the limits of a test point."""
    low, high = believable(test_point, quantity)
    texts = [_written(rng, x, quantity) for x in rng.uniform(low, high, TEXTS_PER_POINT)]
    if quantity == "continuity":
        texts += [(word, "") for word in CLOSED for _ in range(TEXTS_PER_POINT // 4)]
    return texts + [(word, "") for word in VERDICTS]


def outside(rng: np.random.Generator, test_point: str, quantity: str) -> list[Written]:
    """Return written values beyond the limits: far above, on volts near nothing, or open."""
    low, high = believable(test_point, quantity)
    count = TEXTS_PER_POINT // 4
    numbers = (
        rng.uniform(0, low / 2, count)
        if "volt" in quantity
        else high * 10 ** rng.uniform(0.3, 2, count)
    )
    numbers = np.minimum(numbers, {"AC current": 99, "capacitance": 499}.get(quantity, 1e6))
    texts = [_written(rng, x, quantity) for x in numbers]
    has_open = quantity in ("resistance", "continuity")
    return texts + [(word, "") for word in OPEN for _ in range(count // 5)] * has_open


def _written(rng: np.random.Generator, number: float, quantity: str) -> Written:
    if quantity == "resistance" and number >= 1000:
        return f"{number / 1000:.1f}{rng.choice(['k', ' k', ' kΩ', ' kohm', 'k ohms'])}", ""
    if quantity == "resistance" and rng.random() < 0.1:
        return f"{number:.1f}".replace(".", "R"), ""  # IEC 60062 writes the point as a letter
    unit = str(rng.choice(UNITS[quantity]))
    text = f"{number:.1f}" if rng.random() < 0.8 else f"{number:.0f}"
    if unit and rng.random() < 0.2:
        return text, unit.strip()
    return text + unit, ""
