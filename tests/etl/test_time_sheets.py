"""A time sheet has no visit numbers: each of its rows is a visit, in order of date and time."""

from pathlib import Path

from tests.etl.exports import loaded, write
from tests.etl.rows import rows

JOBS = "job_id,opened_on,closed_on,appliance_kind,disposition\n1,2026-01-05,2026-01-09,washer,repaired\n"
SHEET = """job_id,technician,arrived_at,left_at,outcome
1,Lee,2026-01-08 13:00,2026-01-08 14:30,completed
1,Kim,2026-01-06 09:00,2026-01-06 09:40,part on order
1,Kim,2026-01-06 15:00,2026-01-06 15:20,part on order
1,Kim,2026-01-06 15:00,2026-01-06 15:20,part on order
"""


def test_rows_without_a_number_are_visits_in_order_of_arrival(tmp_path: Path):
    files = [write(tmp_path / "jobs.csv", JOBS), write(tmp_path / "sheet.csv", SHEET)]
    account = loaded(files, tmp_path / "db")
    found = rows(
        tmp_path / "db",
        "SELECT visit_no, technician, labour_min FROM core.visits ORDER BY visit_no",
    )
    assert list(found.itertuples(index=False, name=None)) == [
        (1, "Kim", 40.0), (2, "Kim", 20.0), (3, "Lee", 90.0),
    ]  # fmt: skip
    assert (account.files[1].loaded, account.files[1].duplicate) == (3, 1)


def test_a_later_sheet_repeats_and_corrects_the_earlier(tmp_path: Path):
    files = [write(tmp_path / "jobs.csv", JOBS), write(tmp_path / "sheet.csv", SHEET)]
    loaded(files, tmp_path / "db")
    later = write(tmp_path / "sheet_2.csv", SHEET.replace("14:30", "15:00"))
    (account,) = loaded(later, tmp_path / "db").files
    assert (account.loaded, account.duplicate) == (1, 3)
    minutes = rows(tmp_path / "db", "SELECT sum(labour_min) AS total FROM core.visits")
    assert minutes.total[0] == 40 + 20 + 120
