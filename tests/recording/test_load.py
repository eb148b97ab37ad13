"""What to write down first: the page, its paper and command, and the month name the same field."""

from datetime import date
from pathlib import Path

import pytest

from dashboard.cli.main import main
from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.month.load import month_html, month_review, months_of
from dashboard.recording.load import fields_of, what_first
from dashboard.recording.sheet import sheet_of
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom    | disposition | serial | root_cause
1      | 2026-01-05 | 2026-01-06 | washer         | wont_drain | repaired    |        | drain_pump_worn
2      | 2026-01-08 | 2026-01-09 | washer         | wont_drain | repaired    |        | drain_pump_worn
3      | 2026-03-10 | 2026-03-11 | washer         | wont_drain | repaired    | S3     | drain_pump_worn
"""
VISITS = """
job_id | visit_no | technician | arrived_at       | minutes_on_job | outcome
1      | 1        | Ann        | 2026-01-06 09:00 | 30             | completed
2      | 1        | Ann        | 2026-01-09 09:00 | 30             | completed
3      | 1        |            | 2026-03-11 09:00 | 30             | completed
"""


def test_the_month_and_the_page_write_down_the_same_field_first(tmp_path: Path, capsys):
    """Alone, March 2026 lacks the technician; all records lack customer or serial number most."""
    snapshot = take(shop(tmp_path, jobs=JOBS, visits=VISITS))
    march = Filters(from_date=date(2026, 3, 1), to_date=date(2026, 3, 31))
    fields = fields_of(snapshot, march).set_index("field")
    assert fields.loc["technician"].missing > fields.loc["appliance"].missing == 0
    first = what_first(snapshot, None)
    assert first.startswith("Write down first: customer or serial number.")
    month = month_review(snapshot, "2026-03").not_written
    assert month == f"{first} In March 2026 it is missing on 0 of 1 job (0%)."
    assert month in month_html(snapshot, "2026-03")
    assert sheet_of(snapshot).finding == first
    assert main(["recording", "--db", str(snapshot.folder)]) == 0
    assert first in capsys.readouterr().out


@pytest.mark.parametrize("branch", [(), ("Mill Lane",)])
def test_every_month_writes_down_the_field_of_the_page_first(sample_shop: Path, branch):
    snapshot, filters = take(sample_shop), Filters(branch=branch)
    first = what_first(snapshot, filters)
    for month in months_of(snapshot)[-6:]:
        assert month_review(snapshot, month, filters).not_written.startswith(first)
