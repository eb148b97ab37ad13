"""Reading distributions: zones, open readings, percentiles."""

from pathlib import Path

import duckdb
import pytest

from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2026-01-01 | 2026-01-02 | {kind} | {symptom} | repaired | one
"""


def distribution(tmp_path: Path, test_point: str, *values: str):
    """Load one job with these readings at one test point; return the measure's row.

    A refrigerator whose freezer is cold, and where both legs are read, a range.
    """
    kind, symptom = "refrigerator", "warm_fresh_food"
    if test_point.startswith("supply_l1"):
        kind, symptom = "range_electric", "oven_no_bake"
    jobs = JOBS.format(kind=kind, symptom=symptom)
    lines = "\n".join(f"A | 1 | {i} | {test_point} | {v}" for i, v in enumerate(values, start=1))
    readings = "job_id | visit_no | seq | test_point | value\n" + lines
    rows = measure(shop(tmp_path, jobs=jobs, readings=readings), "reading_distribution")
    return rows.iloc[0]


def test_percentiles_are_those_of_nist():
    """NIST/SEMATECH e-Handbook 7.2.6.2, P90 of twelve values: 95.1957 by type 7, as several public
    test files quote the page. Tolerance: half a unit of the last printed place.
    """
    text = (
        "95.1772 95.1567 95.1937 95.1959 95.1442 95.0610 95.1591 95.1195 95.1065 95.0925 95.1990 "
        "95.1682"
    )
    found = duckdb.execute(
        "SELECT quantile_cont(value::DOUBLE, 0.9) FROM (SELECT unnest($values) AS value)",
        {"values": text.split()},
    ).fetchall()[0][0]
    assert found == pytest.approx(95.1957, abs=5e-5)


def test_the_measure_uses_that_convention(tmp_path: Path):
    row = distribution(tmp_path, "comp_to_case", "20 M", "30 M", "50 M", "90 M")
    assert row.p50 == pytest.approx((30e6 + 50e6) / 2)
    assert row.p25 == pytest.approx(20e6 + 0.75 * 10e6)  # position 0.25 * 3 = 0.75


def test_an_open_reading_is_counted_apart_and_never_averaged(tmp_path: Path):
    row = distribution(tmp_path, "defrost_thermostat_cold", "0.2", "0.4", "OL")
    assert (row.n, row.over_limit) == (2, 1)
    assert row.p50 == pytest.approx(0.3)
    assert row.share_outside == pytest.approx(1 / 3)  # open while cold condemns it


def test_open_is_a_pass_from_windings_to_case(tmp_path: Path):
    row = distribution(tmp_path, "comp_to_case", "OL", "OL")
    assert row.share_inside == 1


def test_weak_limits_give_no_share(tmp_path: Path):
    """1 to 8 ohm for a compressor's run winding: common practice, no source; hence weak."""
    row = distribution(tmp_path, "comp_c_r_ohm", "2.4", "4.4", "OL")
    assert (row.tol_low, row.tol_high) == (1, 8)
    assert row.isna()["share_outside"]


@pytest.mark.parametrize(
    ("volts", "zone"),
    [
        # ANSI C84.1, 120/240 V: utilization Range A 108/216 V, Range B 104/208; service Range A
        # 126/252 V. Figures as quoted by utilities; the standard itself was not read.
        (216, "inside"),
        (252, "inside"),
        (215.9, "doubtful"),
        (181, "doubtful"),  # a 208 V service is no fault, so this far down is not yet one
        (179, "outside"),
        (120, "outside"),
    ],
)
def test_supply_limits_are_those_of_ansi_c84_1(tmp_path: Path, volts: float, zone: str):
    row = distribution(tmp_path, "supply_l1_l2_v", f"{volts} V")
    assert row[f"share_{zone}"] == 1


def test_shares_add_up(sample_shop: Path):
    rows = measure(sample_shop, "reading_distribution")
    shares = rows[["share_inside", "share_doubtful", "share_outside"]].sum(axis=1, min_count=3)
    assert (shares.dropna() - 1).abs().max() < 1e-9
    assert not rows.empty
