"""Hours are never taken for minutes: header, cells or mapping say which, or the load asks."""

from pathlib import Path

import duckdb
import pytest

import sql
from etl.mapping.mapping import MappingError
from etl.mapping.time_unit import time_unit
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.rows import rows

HEADERS = [
    (["Labor Hrs"], "hours"),
    (["Hours on job"], "hours"),
    (["LaborHours"], "hours"),
    (["Arbeitsstunden"], "hours"),
    (["Std."], "hours"),
    (["Time (min)"], "minutes"),
    (["minutes_on_job"], "minutes"),
    (["Temps en heures"], "hours"),
    (["Time"], ""),
    (["Labor"], ""),
    (["Hours or minutes"], ""),
    (["Labor Hrs", "Extra min"], ""),
]
# written, unit of its column, minutes
CELLS = [
    ("0.75", "hours", 45), ("7.13", "hours", 427.8), ("45", "minutes", 45), ("45", "", None),
    ("0", "", 0), ("1,25 Std", "", 75), ("1.5 h", "", 90), ("1h15", "", 75), ("1 h 15 min", "", 75),
    ("90'", "", 90), ("1:20", "hours", 80), ("80 min", "hours", 80), ("2 Stunden", "", 120),
    ("99999999999999999999 h", "", None), ("9" * 400, "minutes", None),
]  # fmt: skip


@pytest.mark.parametrize(("headers", "unit"), HEADERS)
def test_a_header_says_hours_or_minutes_or_nothing(headers: list[str], unit: str):
    assert time_unit(headers) == unit


@pytest.mark.parametrize(("text", "unit", "minutes"), CELLS)
def test_a_cell_is_read_in_the_unit_of_its_column(text: str, unit: str, minutes: float | None):
    with duckdb.connect() as connection:
        connection.execute("CREATE SCHEMA core")
        connection.execute(sql.text("core/text_macros"))
        found = connection.execute(
            "SELECT core.parsed_duration($text, '.', $unit)", {"text": text, "unit": unit}
        ).fetchall()[0][0]
    if minutes is None:
        assert found is None or found > 1440  # beyond what any visit lasts: quarantined
    else:
        assert found == pytest.approx(minutes)


def test_a_column_that_nothing_explains_is_asked_for(tmp_path: Path):
    path = write(
        tmp_path / "jobs.csv",
        "Job,In,Out,Unit,End,Time\n1,2026-01-05,2026-01-06,washer,repaired,7.13\n",
    )
    table = jobs_table(minutes_on_job="Time")
    with pytest.raises(MappingError, match=r'"Time" has 1 times .* minutes_on_job = "hours"'):
        loaded(path, tmp_path / "db", mapping("our", table))
    loaded(path, tmp_path / "db", mapping("our", table | {"units": {"minutes_on_job": "hours"}}))
    assert rows(tmp_path / "db", "SELECT labour_min FROM core.jobs").labour_min[0] == 427.8


def test_minutes_that_disagree_with_arrival_and_departure_wait(tmp_path: Path):
    """7 minutes for 428: the header says minutes and is wrong."""
    jobs = write(
        tmp_path / "jobs.csv", "Job,In,Out,Unit,End\n1,2026-01-05,2026-01-06,washer,repaired\n"
    )
    visits = write(
        tmp_path / "visits.csv",
        "job_id,technician,arrived_at,left_at,minutes_on_job\n"
        "1,Kim,2026-01-05 08:00,2026-01-05 15:08,7\n"
        "1,Kim,2026-01-06 08:00,2026-01-06 09:00,45\n",
    )
    loaded(jobs, tmp_path / "db", mapping("canonical", jobs_table()))
    account = loaded(visits, tmp_path / "db")
    assert account.files[0].reasons == {"minutes_disagree": 1}
    assert rows(tmp_path / "db", "SELECT labour_min FROM core.visits").labour_min[0] == 45
