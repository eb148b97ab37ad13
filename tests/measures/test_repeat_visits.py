"""Repeat visits by reason, drawn and counted by hand."""

from pathlib import Path

import pytest

from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | technician
A      | 2026-01-01 | 2026-01-09 | washer         | leaks   | repaired    | one      | Ann
B      | 2026-01-01 | 2026-01-09 | washer         | leaks   | declined    | two      | Ann
C      | 2026-01-01 | 2026-01-09 | washer         | leaks   | repaired    | three    | Ann
D      | 2026-01-01 | 2026-01-09 | washer         | leaks   | repaired    | four     | Ann
E      | 2026-01-01 |            | washer         | leaks   | open        | five     | Ann
"""
VISITS = """
job_id | visit_no | technician | outcome         | minutes_on_job | travel_minutes
A      | 1        | Ann        | part_not_on_van | 30             | 10
A      | 2        | Ann        | no_access       | 0              | 15
A      | 3        | Ann        | misdiagnosis    | 40             | 20
A      | 4        | Ann        | completed       | 50             |
B      | 1        | Ann        | part_not_on_van | 30             | 10
B      | 2        | Ann        | customer_decision | 5            | 25
C      | 1        | Ann        | completed       | 30             | 10
D      | 1        | Ann        | no_access       | 0              | 10
D      | 2        | Ann        | completed       | 30             | 10
E      | 1        | Ann        | part_not_on_van | 30             | 10
E      | 2        | Ann        | completed       | 30             | 10
"""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A took three attended visits, B two; C and D one; E is not closed."""
    return shop(tmp_path_factory.mktemp("repeat"), jobs=JOBS, visits=VISITS)


def test_the_outcome_that_ended_each_visit_before_the_last_is_the_reason(drawn: Path):
    rows = measure(drawn, "repeat_visits").set_index("reason")
    assert rows["visits"].to_dict() == {"part_needed": 2, "misdiagnosed": 1}  # A, B; A
    assert rows["share"].to_dict() == {"part_needed": 2 / 3, "misdiagnosed": 1 / 3}
    assert rows["jobs"].to_dict() == {"part_needed": 2, "misdiagnosed": 1}


def test_the_minutes_are_those_of_the_next_attended_visit(drawn: Path):
    """A's third trip took 20 on the road and 40 on site, B's second 25 and 5."""
    row = measure(drawn, "repeat_visits", labour_per_hour=90).set_index("reason").loc["part_needed"]
    assert (row.travel_min, row.labour_min, row.timed_visits) == (20 + 25, 40 + 5, 2)
    assert row.cost_low == pytest.approx(45 / 60 * 90)
    assert row.cost_high == pytest.approx(90 / 60 * 90)


def test_unknown_travel_is_not_nothing(drawn: Path):
    row = measure(drawn, "repeat_visits").set_index("reason").loc["misdiagnosed"]
    assert row.timed_visits == 0
    assert row[["travel_min", "cost_low", "cost_high"]].isna().all()


def test_shares_of_a_group_add_up(sample_shop: Path):
    rows = measure(sample_shop, "repeat_visits", group_by="technician")
    assert rows.groupby("group")["share"].sum().tolist() == pytest.approx(
        [1] * rows["group"].nunique()
    )
    total = measure(sample_shop, "repeat_visits")
    assert rows["visits"].sum() == total["visits"].sum()
