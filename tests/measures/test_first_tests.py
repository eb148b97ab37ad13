"""core.first_tests: what a test of a job said first, and what was tested before it."""

from pathlib import Path

import duckdb

from etl.folder.publish import current
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | root_cause              | disposition
A      | 2026-01-01 | 2026-01-02 | refrigerator | warm_fresh_food | defrost_thermostat_open | repaired
B      | 2026-01-01 | 2026-01-02 | refrigerator | warm_fresh_food | defrost_thermostat_open | declined
C      | 2026-01-01 |            | refrigerator | warm_fresh_food | defrost_thermostat_open | repaired
"""
READINGS = """
job_id | visit_no | seq | test_point         | value | minutes
A      | 1        | 1   | defrost_thermostat_cold | 0.2   | 3
A      | 1        | 2   | defrost_heater_ohm | 34.3  | 2
A      | 1        | 3   | defrost_thermostat_cold | OL    | 5
A      | 1        | 4   | evap_fan_v   | 12.1  |
B      | 1        | 1   | defrost_thermostat_cold | OL    | 4
B      | 1        | 2   | evap_fan_v   | 0     | 4
C      | 1        | 1   | defrost_thermostat_cold | OL    | 4
"""


def verdicts_of(folder: Path, job_id: str) -> dict[str, tuple]:
    """Return verdict, settled cause and the tests made before, by test point."""
    query = """
        SELECT first_tests.test_point, verdict, settled_cause, list_sort(list(chains.test_point)
            FILTER (WHERE (earlier_tests >> chains.usual_step) & 1 = 1)) AS earlier
        FROM core.first_tests AS first_tests
        INNER JOIN lookups.chains AS chains
            ON first_tests.appliance_kind = chains.kind AND first_tests.symptom = chains.symptom
        WHERE job_id = $job_id
        GROUP BY ALL
    """
    with duckdb.connect(str(current(folder)), read_only=True) as connection:
        rows = connection.execute(query, {"job_id": job_id}).fetchall()
    return {point: verdict for point, *verdict in rows}


def test_the_first_reading_that_says_inside_or_outside_decides(tmp_path: Path):
    """A's thermostat was inside, then open: the first one counts, and stands first in the order."""
    found = verdicts_of(shop(tmp_path, jobs=JOBS, readings=READINGS), "A")
    assert found["defrost_thermostat_cold"] == ["inside", "defrost_thermostat_open", None]
    assert found["defrost_heater_ohm"] == [
        "inside",
        "defrost_thermostat_open",
        ["defrost_thermostat_cold"],
    ]


def test_a_job_that_was_not_repaired_has_no_settled_cause_and_an_open_job_is_left_out(
    tmp_path: Path,
):
    folder = shop(tmp_path, jobs=JOBS, readings=READINGS)
    assert verdicts_of(folder, "B")["defrost_thermostat_cold"] == ["outside", None, None]
    assert verdicts_of(folder, "C") == {}
