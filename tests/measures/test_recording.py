"""What is not written down: drawn rows by hand, and against the other counts of the same jobs."""

from pathlib import Path

import pandas as pd
import pytest

from dashboard.filters import Filters
from dashboard.recording.compute import by_field, first_to_write
from dashboard.recording.sentences import most
from tests.ask import measure, run
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom    | disposition | serial | root_cause       | repair_code               | technician | charged
1      | 2026-01-05 | 2026-01-06 | washer         | wont_drain | repaired    | S1     | drain_pump_worn  | replace_drain_pump_washer | Ann        | 200
2      | 2026-01-08 | 2026-01-09 | washer         | wont_drain | repaired    |        | drain_pump_worn  | replace_drain_pump_washer | Ann        | 200
3      | 2026-01-10 | 2026-01-11 | washer         | wont_drain | repaired    |        |                  | replace_drain_pump_washer | Bob        |
4      | 2026-01-10 | 2026-01-11 | washer         | wont_drain | declined    |        |                  |                           | Bob        | 90
"""
VISITS = """
job_id | visit_no | technician | arrived_at       | minutes_on_job | outcome
1      | 1        | Ann        | 2026-01-06 09:00 | 30             | completed
2      | 1        | Ann        | 2026-01-09 09:00 | 30             | completed
3      | 1        | Bob        | 2026-01-11 09:00 |                | completed
4      | 1        | Bob        | 2026-01-11 12:00 | 30             | completed
"""
PARTS = """
job_id | visit_no | part_no | quantity | component  | unit_cost
1      | 1        | P-1     | 1        | drain_pump | 40
2      | 1        | P-1     | 1        | drain_pump | 40
"""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory) -> Path:
    return shop(tmp_path_factory.mktemp("rec"), jobs=JOBS, visits=VISITS, part_lines=PARTS)


def rows(folder: Path, *filters, **parameters) -> dict:
    table = measure(folder, "recording", *filters, **parameters)
    return {(r.field, r.answer): r for r in table.itertuples()}


def test_a_field_is_asked_of_the_jobs_that_should_hold_it(drawn: Path):
    found = rows(drawn)
    assert (found["appliance", "callbacks"].asked, found["appliance", "callbacks"].missing) == (
        3,
        2,
    )
    assert (found["cause", "root_causes"].asked, found["cause", "root_causes"].missing) == (3, 1)
    assert (found["part", "van_stock"].asked, found["part", "van_stock"].missing) == (3, 1)
    assert found["technician", "comparison"].asked == 4


def test_a_job_that_lacks_two_fields_is_freed_by_neither(drawn: Path):
    """Job 3 has neither serial nor cause, neither minutes nor charge."""
    found = rows(drawn)
    lost = found["appliance", "wrong_diagnosis"]
    assert (lost.lost, lost.freed) == (2, 1)
    assert found["cause", "wrong_diagnosis"].freed == 0
    assert found["minutes", "flat_rate"].lost == 1
    assert found["minutes", "flat_rate"].freed == 0


def test_the_field_that_frees_most_is_written_first_with_its_jobs(drawn: Path):
    """Serial: callbacks 2, first-time fix 2, wrong diagnosis 1: five answers."""
    best = first_to_write(by_field(measure(drawn, "recording")))
    assert (best.field, best.freed) == ("appliance", 5)
    assert "missing on 2 of 3 jobs" in most(best)
    assert most(None).startswith("Every field")


def test_a_field_is_named_also_where_no_field_alone_gives_an_answer():
    """Minutes and charge missing on the same five jobs: neither alone gives a flat rate."""
    table = pd.DataFrame(
        [
            ("shop", "charge", "flat_rate", 9, 5, 5 / 9, 0.2, 0.8, 5, 0),
            ("shop", "minutes", "flat_rate", 9, 6, 6 / 9, 0.3, 0.9, 6, 0),
            ("shop", "repair", "flat_rate", 9, 0, 0.0, 0.0, 0.3, 0, 0),
        ],
        columns=["group", "field", "answer", "asked", "missing", "rate", "low", "high", "lost",
                 "freed"],
    )  # fmt: skip
    best = first_to_write(by_field(table))
    assert (best.field, best.freed) == ("minutes", 0)
    assert most(best).endswith("They lack other fields, too.")


def test_the_list_opens_the_jobs_of_the_count(drawn: Path):
    jobs = run(drawn, "pages/unwritten_jobs", field="appliance")
    assert sorted(jobs["job_id"]) == ["2", "3"]
    of_ann = run(
        drawn, "pages/unwritten_jobs", field="appliance", group_by="technician", group_value="Ann"
    )
    assert of_ann["job_id"].tolist() == ["2"]


def test_missing_fields_are_what_other_measures_leave_out(sample_shop: Path):
    """Two ways of counting one thing: unlinked, unknown visits, jobs not tested."""
    found, fix = rows(sample_shop), measure(sample_shop, "first_time_fix").iloc[0]
    assert found["appliance", "callbacks"].missing == fix.unlinked
    assert found["visits", "first_time_fix"].missing == fix.visits_unknown
    habit = measure(sample_shop, "misdiagnosis", pattern="not_tested").iloc[0]
    reading = found["reading", "part_at_fault"]
    assert (reading.missing, reading.asked) == (habit.with_pattern, habit.asked)


def test_groups_add_up_to_the_shop(sample_shop: Path):
    whole = rows(sample_shop)
    groups = measure(sample_shop, "recording", group_by="branch")
    sums = groups.groupby(["field", "answer"])[["asked", "missing", "freed"]].sum()
    for key, row in whole.items():
        assert tuple(sums.loc[key]) == (row.asked, row.missing, row.freed)


def test_a_twin_in_plain_python_frees_the_same(sample_shop: Path):
    """Count again from the lists of jobs: a job is freed when one field alone is missing."""
    needs = {
        "first_time_fix": ("appliance", "visits"),
        "wrong_diagnosis": ("appliance", "cause"),
        "flat_rate": ("repair", "minutes", "charge"),
    }
    filters = Filters(branch=("Mill Lane",))
    missing = {
        field: set(run(sample_shop, "pages/unwritten_jobs", filters, field=field)["job_id"])
        for fields in needs.values()
        for field in fields
    }
    found = rows(sample_shop, filters)
    for answer, fields in needs.items():
        for field in fields:
            others = set().union(*(missing[other] for other in fields if other != field))
            assert found[field, answer].freed == len(missing[field] - others)
