"""The sample shop comes from its seed byte for byte, and its planted findings are in it."""

from collections import Counter, defaultdict
from importlib.resources import files
from pathlib import Path

import pytest

import sql
from sample_data.jobs import Shop, simulate
from sample_data.make import JOBS, SEED, make
from sample_data.parts import catalogue
from sample_data.shop import (
    ALL_PLANTS,
    BAD_MONTH,
    EARLY_PART_COMPONENT,
    GUESSED_COMPONENT,
    GUESSING_TECHNICIAN,
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
