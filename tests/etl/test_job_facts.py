"""What a job's visits and part lines come to, drawn and counted by hand."""

from contextlib import closing
from pathlib import Path

import duckdb
import pytest

from dashboard.database.version import version
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | serial
1      | 2026-01-01 | 2026-01-09 | freezer        | noisy   | repaired    | A
2      | 2026-01-02 | 2026-01-02 | freezer        | noisy   | repaired    | B
3      | 2026-01-03 | 2026-01-03 | freezer        | noisy   | repaired    | C
"""
VISITS = """
job_id | visit_no | technician | travel_minutes | outcome
1      | 1        | Ida        | 5              | no_access
1      | 2        | Ida        | 10             | part_not_on_van
1      | 3        | Ida        | 20             | part_on_order
1      | 4        | Ida        | 40             | completed
2      | 1        | Ida        | 15             | part_not_on_van
"""
PARTS = """
job_id | visit_no | part_no | quantity | unit_cost
1      | 2        | P1      | 1        | 90
1      | 4        | P2      | 1        | 20
1      | 4        | P3      | 2        | 15
2      | 1        | P9      | 1        |
2      | 1        | P9      | 1        | 8
"""
COLUMNS = ("first_reason", "trip_min", "part_trips", "main_part", "unpriced_lines", "parts_cost")


@pytest.fixture(scope="module")
def facts(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple]:
    folder: Path = shop(tmp_path_factory.mktemp("f"), jobs=JOBS, visits=VISITS, part_lines=PARTS)
    with closing(duckdb.connect(str(version(folder)), read_only=True)) as connection:
        rows = connection.execute(f"SELECT job_id, {', '.join(COLUMNS)} FROM core.job_facts")
        return {job: tuple(cells) for job, *cells in rows.fetchall()}


def test_further_trips_begin_after_the_first_attended_visit(facts: dict[str, tuple]):
    """No one opened on visit 1; of the dearest parts P1 was fitted too early to be the main one."""
    assert facts["1"] == ("part_needed", 60.0, 2, "P3", 0, 140.0)


def test_one_visit_has_no_further_trip_whatever_ended_it(facts: dict[str, tuple]):
    assert facts["2"] == (None, None, 0, "P9", 1, 8.0)


def test_without_visits_and_parts_nothing_is_claimed(facts: dict[str, tuple]):
    assert facts["3"] == (None, None, None, None, 0, None)
