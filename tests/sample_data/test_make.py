"""The sample shop comes from its seed byte for byte, and its planted findings are in it."""

from collections import Counter, defaultdict
from datetime import date
from importlib.resources import files
from pathlib import Path

import pytest

import sql
from sample_data.jobs import Shop, simulate
from sample_data.make import JOBS, SEED, make, noted_changes
from sample_data.parts import catalogue
from sample_data.shop import (
    ALL_PLANTS,
    BAD_MONTH,
    BRANDS,
    CHANGES,
    COMPLAINTS,
    EARLY_PART_COMPONENT,
    GUESSED_COMPONENT,
    GUESSING_TECHNICIAN,
    KIT_DAY,
    METER_TECHNICIAN,
    UNDER_COST,
    flat_price,
)

HERE = Path(str(files("sample_data")))
WRITTEN = (
    "tickets_2026.csv", "trips_2026.csv", "records_2025.xlsx", "readings.jsonl", "parts.parquet",
    "truth.csv",
)  # fmt: skip


@pytest.fixture(scope="module")
def shop() -> Shop:
    """The shop as the seed makes it, before it is written down."""
    return simulate(SEED, JOBS, ALL_PLANTS)


def test_the_committed_files_are_what_the_seed_makes(tmp_path: Path):
    make(tmp_path)
    for name in WRITTEN:
        assert (tmp_path / name).read_bytes() == (HERE / name).read_bytes(), name


def test_another_seed_is_another_shop():
    first, second = (simulate(seed, 200, ALL_PLANTS).jobs for seed in (1, 2))
    assert first != second


def test_the_files_are_small_enough_for_git():
    assert sum((HERE / name).stat().st_size for name in WRITTEN) < 8_000_000


def test_the_shop_is_of_the_promised_size(shop: Shop):
    assert 5_500 < len(shop.jobs) < 6_500
    assert len({job["technician"] for job in shop.jobs}) == 9
    assert len({job["appliance_kind"] for job in shop.jobs}) == 8
    assert len({job["branch"] for job in shop.jobs}) == 2


def completed_in_one_visit(shop: Shop) -> dict[str, bool]:
    """Say of each repaired job whether one attended visit did it, counted from the clean rows."""
    attended = Counter(
        visit["job_id"]
        for visit in shop.visits
        if visit["outcome"] not in ("no_access", "customer_cancelled")
    )
    return {
        job["job_id"]: attended[job["job_id"]] == 1
        for job in shop.jobs
        if job["disposition"] == "repaired"
    }


def share(flags: list[bool]) -> float:
    """Return the share of true values."""
    return sum(flags) / len(flags)


def test_the_bad_month_is_worse_than_all_others(shop: Shop):
    one_visit = completed_in_one_visit(shop)
    by_month = defaultdict(list)
    for job in shop.jobs:
        if job["job_id"] in one_visit:
            day = job["closed_on"]
            by_month[day.year, day.month].append(one_visit[job["job_id"]])
    shares = {month: share(flags) for month, flags in by_month.items()}
    bad = shares.pop(BAD_MONTH)
    assert bad < min(shares.values()) - 0.1


def test_the_meter_reads_high_on_good_windings(shop: Shop):
    """Same windings, same causes: only the planted meter lies 8 % above the others."""
    who = {visit["job_id"]: visit["technician"] for visit in shop.visits}
    values = defaultdict(list)
    for reading in shop.readings:
        number, _, unit = reading["value"].partition(" ")
        if reading["test_point"] == "dryer_element_ohm" and unit == "ohm":
            values[who[reading["job_id"]] == METER_TECHNICIAN].append(float(number))
    high, others = (sorted(values[key])[len(values[key]) // 2] for key in (True, False))
    assert 1.04 < high / others < 1.12


def test_the_guessing_technician_guesses_one_part(shop: Shop):
    fitted = {(line["job_id"], line["component"]) for line in shop.part_lines}
    boards = Counter(
        visit["technician"]
        for visit in shop.visits
        if visit["visit_no"] == 1 and (visit["job_id"], GUESSED_COMPONENT) in fitted
    )
    others = [count for name, count in boards.items() if name != GUESSING_TECHNICIAN]
    assert boards[GUESSING_TECHNICIAN] > 1.5 * max(others)


def test_the_early_part_fails_more_often_than_its_twin(shop: Shop):
    good, early = catalogue(*EARLY_PART_COMPONENT)
    callbacks = {row["is_callback_of"] for row in shop.truth}
    came_back = defaultdict(list)
    for line in shop.part_lines:
        if line["part_no"] in (good, early):
            came_back[line["part_no"]].append(line["job_id"] in callbacks)
    assert share(came_back[early]) > share(came_back[good]) + 0.2


def test_two_repairs_are_charged_at_under_half(shop: Shop):
    """Against the price that the shop's own rule gives for the same minutes and part."""
    parts = {line["job_id"]: line["unit_cost"] for line in shop.part_lines}
    minutes = {
        (r["kind"], r["repair"]): float(r["labour_min_mode"]) for r in sql.lookup("repair_codes")
    }
    for code in UNDER_COST:
        ratios = [
            job["charged"] / flat_price(minutes[code], parts[job["job_id"]], False)
            for job in shop.jobs
            if (job["appliance_kind"], job["repair_code"]) == code
            and job["charged"]
            and job["job_id"] in parts
        ]
        assert len(ratios) >= 50
        assert sorted(ratios)[len(ratios) // 2] < 0.55


def test_without_plants_no_month_stands_out():
    shop = simulate(SEED, 3_000, frozenset())
    one_visit = completed_in_one_visit(shop)
    march = [
        one_visit[job["job_id"]]
        for job in shop.jobs
        if job["job_id"] in one_visit
        and (job["closed_on"].year, job["closed_on"].month) == BAD_MONTH
    ]
    assert share(march) > share(list(one_visit.values())) - 0.1


def test_the_first_jobs_are_of_a_fridge_warm_below_a_cold_freezer(shop: Shop):
    """Once right, once back two weeks later: in each year's export these jobs come first."""
    first, wrong, back = shop.jobs[:3]
    truth = {row["job_id"]: row for row in shop.truth}
    assert {job["symptom"] for job in (first, wrong, back)} == {"warm_fresh_food"}
    assert truth[first["job_id"]]["true_cause"] == first["root_cause"]
    assert truth[wrong["job_id"]]["true_cause"] != wrong["root_cause"]
    assert truth[back["job_id"]]["is_callback_of"] == wrong["job_id"]
    assert (back["opened_on"] - wrong["closed_on"]).days == 15
    points = [r["test_point"] for r in shop.readings if r["job_id"] == first["job_id"]]
    assert points[:2] == ["fz_temp", "ff_temp"]
    assert {"evap_frost_check", "defrost_heater_ohm", "defrost_thermostat_cold"} <= set(points)
    assert {"cold_thermistor_ohm", "evap_fan_v"} <= set(points)


def test_every_complaint_that_the_shop_draws_has_a_chain_with_weights(shop: Shop):
    chains = {(row["kind"], row["symptom"]) for row in sql.lookup("chains")}
    weights = {(row["kind"], row["symptom"]) for row in sql.lookup("chain_priors")}
    drawn = {(kind, symptom) for kind, each in COMPLAINTS.items() for symptom in each}
    assert drawn <= chains & weights
    found = {
        (j["appliance_kind"], j["symptom"]) for j in shop.jobs if j["symptom"] != "no_complaint"
    }
    assert found <= drawn


def test_a_drum_that_does_not_turn_is_mostly_the_belt(shop: Shop):
    causes = Counter(
        truth["true_cause"]
        for job, truth in zip(shop.jobs, shop.truth, strict=True)
        if job["symptom"] == "wont_turn"
    )
    assert causes.most_common(1)[0][0] == "drive_belt_broken"


def test_jobs_close_on_workdays_and_calls_are_taken_on_six_days(shop: Shop):
    assert {day["closed_on"].weekday() for day in shop.jobs if day["closed_on"]} == {0, 1, 2, 3, 4}
    first_calls = [job["opened_on"].weekday() for job in shop.jobs if not job["callback_of"]]
    assert Counter(first_calls)[6] < 0.05 * len(first_calls)


def test_air_conditioners_come_in_summer_and_heat_complaints_in_winter(shop: Shop):
    months = defaultdict(Counter)
    for job in shop.jobs:
        months[job["appliance_kind"]][job["opened_on"].month] += 1
    cooling, drying = months["room_ac"], months["dryer_electric"]
    assert cooling[7] > 8 * max(cooling[1], 1)
    assert drying[12] > 0.55 * drying[7]  # two Julys, one December: 1.3 / (2 x 0.7) = 0.93


def test_models_repeat_and_no_name_is_a_technicians_and_a_brand(shop: Shop):
    models = Counter((j["appliance_kind"], j["brand"], j["model"]) for j in shop.jobs)
    assert len(models) <= 8 * 6 * 3 + 1
    assert sorted(models.values())[len(models) // 2] >= 10
    assert not {job["technician"] for job in shop.jobs} & set(BRANDS)


def test_no_hand_meter_reads_what_it_cannot_show(shop: Shop):
    """A 4,000-count meter ends at 40 MOhm; an exhaust at about 110 Cel (230 F); 30 A circuits."""
    tops = {"exhaust_temp": 231, "dryer_total_current_a": 33, "gas_supply_pressure": 14.5}
    for reading in shop.readings:
        number, _, unit = reading["value"].partition(" ")
        if unit == "M":
            assert float(number) <= 40.5, reading
        top = tops.get(reading["test_point"])
        assert top is None or float(number) <= top, reading


def test_readings_outside_follow_the_failure(shop: Shop):
    """An oven that does not heat warms no water, a weak capacitor gives no large temperature drop."""
    truth = {row["job_id"]: row["true_cause"] for row in shop.truth}
    values = defaultdict(list)
    for reading in shop.readings:
        number, _, unit = reading["value"].partition(" ")
        if unit:
            key = reading["test_point"], truth[reading["job_id"]]
            values[key].append(float(number))
    assert max(values["mw_water_rise", "magnetron_failed"]) <= 30  # degrees F of 1 liter in 60 s
    drops = sorted(values["ac_temp_drop", "run_capacitor_low"])
    assert drops[int(0.8 * len(drops))] < 9  # F; 5 K
    weak = sorted(values["oven_igniter_current_a", "igniter_weak"] or [2.0])
    assert weak[len(weak) // 2] < 2.9


def test_each_capacitor_has_its_own_rating(shop: Shop):
    plates = {r["nameplate"] for r in shop.readings if r["test_point"] == "ac_run_capacitor_uf"}
    assert len(plates - {""}) >= 3


def test_two_noted_changes_one_of_which_worked(shop: Shop):
    rows = {row["plant"]: row for row in noted_changes(ALL_PLANTS)}
    assert rows["kit_on_vans"]["effect"] == "+0.11"
    assert rows["model_asked_on_the_phone"]["effect"] == "+0.00"
    missing = [
        (visit["day"], visit["outcome"] in ("part_not_on_van", "part_on_order"))
        for visit in shop.visits
    ]
    before = share([flag for day, flag in missing if day.year == 2025])
    after = share([flag for day, flag in missing if day >= KIT_DAY])
    assert after < 0.65 * before
    earlier, later = (
        share([flag for day, flag in missing if start <= day < end])
        for start, end in (
            (date(2025, 5, 1), CHANGES[1]["changed_on"]),
            (CHANGES[1]["changed_on"], date(2026, 3, 1)),
        )
    )
    assert abs(later - earlier) < 0.03
