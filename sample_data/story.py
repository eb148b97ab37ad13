"""Two visits that lead the demo data: a freezer cold above a fridge compartment that is warm.

Once the fault is isolated and stays away; once a part that was good is replaced, and the ice is
back two weeks later. Its jobs come first in each export, so that the first rows show it whole.
"""

from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import Any

from sample_data.diagnosis import Finding
from sample_data.meter import Shown
from sample_data.shop import FIRST_NAMES, LAST_NAMES, TECHNICIANS
from sample_data.worksheet import Call, Shop, Unit, Worksheet

COMPLAINT = "warm_fresh_food"
OPEN_HEATER, OPEN_THERMOSTAT = "defrost_heater_open", "defrost_thermostat_open"
WARM_ABOVE_COLD = (
    ("fz_temp", "-1 F", 2.0),
    ("ff_temp", "52 F", 2.0),
    ("evap_fan_listen_check", "ok", 1.0),
    ("air_path_check", "clear", 1.0),
    ("evap_frost_check", "iced", 3.0),
)
RIGHT = (
    *WARM_ABOVE_COLD,
    ("defrost_heater_ohm", "OL", 3.0),
    ("defrost_thermostat_cold", "0.2 ohm", 3.0),
    ("cold_thermistor_ohm", "27.1 k", 3.0),
    ("evap_fan_v", "12.2 VDC", 3.0),
)
TOO_SHORT = (*WARM_ABOVE_COLD, ("defrost_heater_ohm", "34.6 ohm", 3.0))
SECOND_TIME = (
    ("ff_temp", "50 F", 2.0),
    ("evap_frost_check", "iced", 3.0),
    ("defrost_heater_ohm", "34.2 ohm", 3.0),
    ("defrost_thermostat_cold", "OL", 3.0),
)
STARTS = (date(2025, 5, 1), date(2026, 1, 5))


def add_story(rng: Random, shop: Shop) -> None:
    """Write the story's jobs, before all others, once for each year's exports."""
    for number, start in enumerate(STARTS):
        right, wrong = _unit(number, "A"), _unit(number, "B")
        _job(rng, shop, Call(right, start, COMPLAINT, OPEN_HEATER), OPEN_HEATER, RIGHT, 0)
        first = Call(wrong, start, COMPLAINT, OPEN_THERMOSTAT)
        job = _job(rng, shop, first, OPEN_HEATER, TOO_SHORT, 2)
        back = replace(
            first,
            opened_on=start + timedelta(days=15),
            callback_of=job,
            reason="the diagnosis was wrong",
        )
        _job(rng, shop, back, OPEN_THERMOSTAT, SECOND_TIME, 0)
    shop.story = {job["job_id"] for job in shop.jobs}


def _unit(number: int, letter: str) -> Unit:
    return Unit(
        "refrigerator",
        "Norvane",
        "RF21B",
        f"M{100 + number}4471{ord(letter)}",
        f"{FIRST_NAMES[number]} {LAST_NAMES[ord(letter) - ord('A')]}",
        "555-0100",
        TECHNICIANS[0].branch,
        2019,
    )


def _job(
    rng: Random, shop: Shop, call: Call, diagnosis: str, tests: tuple[Any, ...], person: int
) -> str:
    sheet = Worksheet(
        rng,
        shop,
        call,
        f"{len(shop.jobs) + 20417}",
        TECHNICIANS[person],
        call.opened_on,
        frozenset(),
    )
    found = Finding(diagnosis, [(point, Shown(value), minutes) for point, value, minutes in tests])
    sheet.fit_at_once(found)
    sheet.close_repaired(diagnosis, diagnosis)
    sheet.note_truth(diagnosis)
    return sheet.job_id
