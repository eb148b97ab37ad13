"""Root-cause mix, by jobs drawn and counted by hand."""

from pathlib import Path

import pytest

from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | root_cause           | disposition    | customer
A      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | defrost_heater_open | repaired       | one
B      | 2026-01-01 | 2026-01-03 | refrigerator   | warm_fresh_food | defrost_heater_open | repaired       | two
C      | 2026-01-10 | 2026-01-11 | refrigerator   | warm_fresh_food | defrost_thermostat_open  | repaired       | two
D      | 2026-01-01 | 2026-01-04 | refrigerator   | warm_fresh_food |                      | no_fault_found | four
E      | 2026-01-01 | 2026-01-04 | refrigerator   | warm_fresh_food | defrost_heater_open | declined       | five
F      | 2026-01-01 | 2026-01-04 | refrigerator   | warm_fresh_food |                      | repaired       | six
"""


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """B was recorded as the heater; its callback C found the thermostat. E was declined."""
    return shop(tmp_path, jobs=JOBS)


def jobs_by_cause(folder: Path, use_recorded: bool) -> dict[str, int]:
    rows = measure(folder, "root_cause_mix", use_recorded=use_recorded, window_days=30)
    return dict(zip(rows["cause"], rows["jobs"], strict=True))


def test_the_final_cause_is_what_the_repaired_callback_found(drawn: Path):
    assert jobs_by_cause(drawn, use_recorded=False) == {
        "defrost_heater_open": 1,  # A
        "defrost_thermostat_open": 2,  # B by its callback, C
        "no_fault_found": 1,  # D
        "not recorded": 1,  # F
    }


def test_the_recorded_cause_is_what_the_job_said_at_first(drawn: Path):
    assert jobs_by_cause(drawn, use_recorded=True)["defrost_heater_open"] == 2  # A, B


def test_shares_are_over_the_jobs_of_the_complaint_and_add_up_to_one(drawn: Path):
    rows = measure(drawn, "root_cause_mix", use_recorded=False, window_days=30)
    assert rows["share"].sum() == pytest.approx(1)
    supply = rows[rows["cause"] == "defrost_thermostat_open"].iloc[0]
    assert supply.share == pytest.approx(2 / 5)


def test_two_ways_of_counting_the_mix_agree(sample_shop: Path):
    """Jobs in the mix = closed jobs that were repaired or had no fault found."""
    rows = measure(sample_shop, "root_cause_mix", use_recorded=False, window_days=30)
    by_kind = measure(sample_shop, "root_cause_mix", use_recorded=True, window_days=30)
    assert rows["jobs"].sum() == by_kind["jobs"].sum()
    assert (rows.groupby(["appliance_kind", "symptom"])["share"].sum() - 1).abs().max() < 1e-9
