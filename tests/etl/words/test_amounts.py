"""Numbers in a complaint that say something; invented phrases, common practice."""

import pytest

from etl.words.complaints import symptom_of


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("refrigerator", "ref side 58 deg, frz good", "warm_fresh_food"),
        ("refrigerator", "fridge 52 freezer 0", "warm_fresh_food"),
        ("refrigerator", "freezer at 28, fridge at 55", "not_cooling"),
        ("refrigerator", "fridge is at 38, noisy", "noisy"),
        ("refrigerator", "set fridge to 45", None),
        ("refrigerator", "freezer door open 30 minutes", None),
        ("freezer", "alarm beeping, temp 30", "warm_freezer"),
        ("freezer", "freezer temp 0", None),
        ("freezer", "runs but 25 degrees", "warm_freezer"),
        ("freezer", "runs 25 minutes", None),
        ("dishwasher", "temp 120", None),
        ("wine_cooler", "temp 58", None),
        ("wine_cooler", "temp is 72", "not_cooling"),
    ],
)
def test_a_temperature_of_a_compartment_says_whether_it_is_warm(kind, text, symptom):
    assert symptom_of(kind, text) in (
        symptom,
        "not_cooling" if symptom == "warm_freezer" else symptom,
    )


@pytest.mark.parametrize(
    ("kind", "text", "symptom"),
    [
        ("microwave", "shuts off after 10 secs", "stops_mid_cycle"),
        ("dryer_electric", "stops after about 5 minutes", "stops_mid_cycle"),
        ("room_ac", "ices over after an hr", "ices_up"),
        ("washer", "leaks after 10 minutes", "leaks"),
    ],
)
def test_a_time_after_which_it_stops_says_that_it_had_run(kind, text, symptom):
    assert symptom_of(kind, text) == symptom
