"""Limit review: who counts as condemned or sound, when a limit is suggested, what the register says."""

from pathlib import Path

import pandas as pd
import pytest

from dashboard.readings.compute import REVIEW_COLUMNS, limit_review
from tests.ask import measure
from tests.shop_builder import shop

INTERFACE = (
    "test_point",
    "n_condemned",
    "n_good",
    "auc",
    "auc_low",
    "auc_high",
    "best_limit",
    "youden",
    "register_low",
    "register_high",
)
BIMETAL = "defrost_thermostat_cold"


def drawn(tmp_path: Path) -> pd.DataFrame:
    """Load four refrigerators read at the bimetal: the cause, sound, not the cause, open."""
    return measure(
        shop(
            tmp_path,
            jobs="""
            job_id | opened_on | closed_on | appliance_kind | symptom | root_cause | disposition | customer
            A   | 2026-01-01 | 2026-01-02 | refrigerator | warm_fresh_food | defrost_thermostat_open | repaired | a
            B   | 2026-01-01 | 2026-01-02 | refrigerator | warm_fresh_food | defrost_heater_open | repaired | b
            C   | 2026-01-01 | 2026-01-02 | refrigerator | warm_fresh_food | defrost_heater_open | repaired | c
            D   | 2026-01-01 | 2026-01-02 | refrigerator | warm_fresh_food | defrost_thermostat_open | repaired | d
            END | 2026-06-01 | 2026-06-01 | refrigerator | warm_fresh_food | defrost_thermostat_open | cancelled | e
            """,
            visits="""
            job_id | visit_no | technician | outcome
            A      | 1        | Abel       | completed
            A      | 2        | Abel       | completed
            """,
            readings="""
            job_id | visit_no | seq | test_point         | value
            A      | 1        | 1   | defrost_thermostat_cold | 55
            A      | 2        | 2   | defrost_thermostat_cold | 0.1
            B      | 1        | 1   | defrost_thermostat_cold | 0.2
            C      | 1        | 1   | defrost_thermostat_cold | 0.4
            D      | 1        | 1   | defrost_thermostat_cold | OL
            D      | 1        | 2   | defrost_thermostat_cold | >30
            """,
            part_lines="""
            job_id | visit_no | part_no | component           | quantity
            A      | 1        | P1      | defrost_thermostat | 1
            C      | 1        | P1      | defrost_thermostat | 1
            D      | 1        | P1      | defrost_thermostat | 1
            """,
        ),
        "limit_review",
    )


def test_only_settled_jobs_count_and_their_final_cause_decides(tmp_path: Path):
    """A and D failed; B and C good, replaced or not; the new part and "more than" are left out."""
    (row,) = drawn(tmp_path).itertuples()
    assert (row.n_condemned, row.n_good) == (2, 2)
    assert row.auc == 1  # 55 and open against 0.2 and 0.4
    assert (row.register_low, row.register_high, row.register_fail_above) == (0, 2, 10)
    assert row.no_limit_because == "contact"


def test_declined_pending_unlinked_and_returned_jobs_are_in_neither(tmp_path: Path):
    """Each of four unsettled jobs would have spoilt the area of 1."""
    head = "job_id | opened_on | closed_on | appliance_kind | symptom | root_cause | disposition"
    cool, stat = "refrigerator | not_cooling", "defrost_heater_open"
    jobs = f"""
    {head} | customer
    BAD  | 2026-01-01 | 2026-01-02 | {cool} | {stat}                | repaired | a
    GOOD | 2026-01-01 | 2026-01-02 | {cool} | evaporator_fan_failed | repaired | b
    DECL | 2026-01-01 | 2026-01-02 | {cool} | evaporator_fan_failed | declined | c
    YOUNG| 2026-05-20 | 2026-05-21 | {cool} | evaporator_fan_failed | repaired | d
    LOOSE| 2026-01-01 | 2026-01-02 | {cool} | evaporator_fan_failed | repaired |
    BACK | 2026-01-01 | 2026-01-02 | {cool} | evaporator_fan_failed | repaired | f
    AGAIN| 2026-01-09 | 2026-01-10 | {cool} | {stat}                | declined | f
    NONE | 2026-01-01 | 2026-01-02 | {cool} | cause_unknown         | repaired | g
    END  | 2026-06-01 | 2026-06-01 | {cool} | {stat}                | cancelled | h
    """
    values = {"BAD": 300, "GOOD": 25} | dict.fromkeys(
        ("DECL", "YOUNG", "LOOSE", "BACK", "NONE"), 900
    )
    readings = "job_id | visit_no | seq | test_point | value\n" + "\n".join(
        f"{job} | 1 | 1 | defrost_heater_ohm | {value}" for job, value in values.items()
    )
    (row,) = measure(shop(tmp_path, jobs=jobs, readings=readings), "limit_review").itertuples()
    assert (row.n_condemned, row.n_good, row.auc) == (1, 1, 1.0)


def test_with_fewer_than_30_of_each_no_limit_is_suggested(tmp_path: Path):
    (row,) = drawn(tmp_path).itertuples()
    assert not row.is_suggested
    assert pd.isna(row.best_limit)


def readings(bad: list[float], good: list[float]) -> pd.DataFrame:
    """Draw readings as sql/measures/limit_review.sql gives them."""
    counts = pd.concat(
        [pd.Series(bad).value_counts(), pd.Series(good).value_counts()],
        axis=1,
        keys=["condemned", "good"],
    ).fillna(0)
    return pd.DataFrame(
        {
            "test_point": BIMETAL,
            "unit": "Ohm",
            "no_limit_because": None,
            "value": counts.index.to_numpy(float),
            "condemned": counts["condemned"].to_numpy(int),
            "good": counts["good"].to_numpy(int),
            "register_low": 0.0,
            "register_high": 2.0,
            "register_fail_below": None,
            "register_fail_above": 10.0,
        }
    )


@pytest.mark.parametrize(("n", "is_enough"), [(29, False), (30, True)])
def test_thirty_of_each_are_enough(n: int, is_enough: bool):
    (row,) = limit_review(readings([20.0] * n, [0.2] * 30)).itertuples()
    assert row.is_suggested == is_enough
    if is_enough:
        assert row.best_limit == (20 + 0.2) / 2
        assert row.condemns == "above"


def test_an_uninformative_reading_gets_no_limit():
    (row,) = limit_review(readings([1.0, 2.0] * 20, [1.0, 2.0] * 20)).itertuples()
    assert row.auc == 0.5
    assert not row.is_suggested


def test_condemned_parts_may_lie_below():
    (row,) = limit_review(readings([1.0] * 30, [9.0] * 30)).itertuples()
    assert (row.condemns, row.best_limit, row.auc) == ("below", 5, 1)


def test_the_columns_are_those_of_the_interface(sample_shop: Path):
    table = measure(sample_shop, "limit_review")
    assert tuple(table.columns[: len(INTERFACE)]) == INTERFACE
    assert tuple(table.columns) == REVIEW_COLUMNS
    assert table["is_suggested"].any()
    assert (table["auc_low"] <= table["auc"]).all()
    assert (table["auc"] <= table["auc_high"]).all()


def test_no_readings_give_no_rows():
    empty = limit_review(readings([], []))
    assert tuple(empty.columns) == REVIEW_COLUMNS
    assert empty.empty
