"""First-time fix, by jobs drawn and counted by hand."""

from datetime import date
from pathlib import Path

import pytest

from dashboard.filters import Filters
from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | technician
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | Ann
B      | 2026-01-03 | 2026-01-04 | washer         | leaks   | repaired    | two      | Ann
C      | 2026-01-20 | 2026-01-21 | washer         | leaks   | repaired    | two      | Bob
D      | 2026-01-05 | 2026-01-06 | washer         | leaks   | repaired    | three    | Bob
E      | 2026-01-05 | 2026-01-06 | washer         | leaks   | declined    | four     | Bob
F      | 2026-03-01 | 2026-03-02 | washer         | leaks   | repaired    | five     | Bob
"""
VISITS = """
job_id | visit_no | technician | outcome         | minutes_on_job
A      | 1        | Ann        | completed       | 60
B      | 1        | Ann        | completed       | 60
C      | 1        | Bob        | completed       | 60
D      | 1        | Bob        | part_not_on_van | 30
D      | 2        | Bob        | completed       | 40
E      | 1        | Bob        | completed       | 20
F      | 1        | Bob        | completed       | 60
"""


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """A fixed at once; B came back as C; C fixed at once; D took two visits; E declined; F pending.

    The records end on 2026-03-02, the day F closed.
    """
    return shop(tmp_path, jobs=JOBS, visits=VISITS)


def test_one_visit_without_a_return_is_a_fix_two_visits_or_a_return_are_not(drawn: Path):
    row = measure(drawn, "first_time_fix", window_days=30).iloc[0]
    assert (row.repaired, row.pending, row.mature) == (5, 1, 4)
    assert row.fixed_first_time == 2  # A and C
    assert row.rate == 2 / 4
    assert row.one_visit == 4  # A, B, C, F
    assert row.repaired == row.pending + row.mature + row.left_out


def test_the_credit_goes_to_who_attended_the_last_visit(drawn: Path):
    rows = measure(drawn, "first_time_fix", window_days=30, group_by="technician").set_index(
        "group"
    )
    assert (rows.loc["Ann", "fixed_first_time"], rows.loc["Ann", "mature"]) == (1, 2)  # A of A, B
    assert (rows.loc["Bob", "fixed_first_time"], rows.loc["Bob", "mature"]) == (1, 2)  # C of C, D


def test_a_narrower_window_lets_a_late_return_go(drawn: Path):
    row = measure(drawn, "first_time_fix", window_days=15).iloc[0]
    assert row.fixed_first_time == 3  # B's return after 16 days is outside 15 days


def test_a_job_closed_exactly_the_window_before_the_end_is_mature(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-01 | washer         | leaks   | repaired    | one
    B      | 2026-01-02 | 2026-01-02 | washer         | leaks   | repaired    | two
    END    | 2026-01-31 | 2026-01-31 | washer         | leaks   | cancelled   | three
    """
    visits = """
    job_id | visit_no | technician | outcome
    A      | 1        | Ann        | completed
    B      | 1        | Ann        | completed
    """
    row = measure(shop(tmp_path, jobs=jobs, visits=visits), "first_time_fix", window_days=30).iloc[
        0
    ]
    assert (row.mature, row.pending) == (1, 1)


def test_a_job_on_an_unknown_unit_is_left_out_and_counted(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    |
    B      | 2026-03-01 | 2026-03-02 | washer         | leaks   | repaired    | two
    """
    visits = """
    job_id | visit_no | technician | outcome
    A      | 1        | Ann        | completed
    B      | 1        | Ann        | completed
    """
    row = measure(shop(tmp_path, jobs=jobs, visits=visits), "first_time_fix", window_days=30).iloc[
        0
    ]
    assert (row.repaired, row.mature, row.unlinked, row.left_out) == (2, 0, 1, 1)
    assert row.isna()["rate"]


def test_maintenance_is_in_no_denominator(tmp_path: Path):
    """A visit without a complaint is left out of every fix rate. Common practice, no source."""
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom     | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | maintenance | repaired    | one
    B      | 2026-03-01 | 2026-03-02 | washer         | leaks       | repaired    | two
    """
    row = measure(shop(tmp_path, jobs=jobs), "first_time_fix", window_days=30).iloc[0]
    assert row.repaired == 1


def test_a_visit_in_quarantine_makes_the_number_of_visits_unknown(tmp_path: Path):
    """Else a second trip that could not be read would turn its job into a first-time fix."""
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
    END    | 2026-03-01 | 2026-03-02 | washer         | leaks   | cancelled   | two
    """
    visits = """
    job_id | visit_no | technician | outcome   | minutes_on_job
    A      | 1        | Ann        | part_not_on_van | 30
    A      | 2        | Ann        | completed | a while
    """
    row = measure(shop(tmp_path, jobs=jobs, visits=visits), "first_time_fix", window_days=30).iloc[
        0
    ]
    assert (row.mature, row.visits_unknown) == (0, 1)


def test_filters_include_both_days_of_the_period(drawn: Path):
    filters = Filters(from_date=date(2026, 1, 2), to_date=date(2026, 1, 4))
    assert measure(drawn, "first_time_fix", filters, window_days=30).iloc[0].repaired == 2  # A, B


def test_expected_gives_each_job_the_rate_of_its_kind_and_complaint(drawn: Path):
    rows = measure(drawn, "first_time_fix", window_days=30, group_by="technician").set_index(
        "group"
    )
    assert rows.loc["Ann", "expected"] == pytest.approx(2 * 2 / 4)
    assert rows["expected"].sum() == pytest.approx(rows["fixed_first_time"].sum())


def test_groups_add_up_to_the_shop(sample_shop: Path):
    total = measure(sample_shop, "first_time_fix", window_days=30).iloc[0]
    for group_by in ("month", "technician", "branch", "appliance_kind", "symptom", "cause"):
        rows = measure(sample_shop, "first_time_fix", window_days=30, group_by=group_by)
        for column in ("repaired", "pending", "mature", "fixed_first_time", "left_out"):
            assert rows[column].sum() == total[column], (group_by, column)


NEWCOMBE_1998 = [  # Newcombe RG (1998) Stat Med 17:857-872, Table I, score method; as quoted in a
    # public test file. The table prints four decimals.
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize(("k", "n", "low", "high"), NEWCOMBE_1998)
def test_the_interval_is_newcombes_score_interval(k: int, n: int, low: float, high: float):
    import duckdb

    import sql

    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA core")
    connection.execute(sql.text("core/rate_macros"))
    found = connection.execute(
        "SELECT core.wilson_low($k, $n), core.wilson_high($k, $n)", {"k": k, "n": n}
    ).fetchall()[0]
    assert found == pytest.approx((low, high), abs=5e-5)


def test_an_expected_count_of_the_other_outcome_gives_the_ratio(drawn: Path):
    """Both technicians have one job not fixed of two, and one expected: they do not differ."""
    rows = measure(drawn, "first_time_fix", window_days=30, group_by="technician")
    assert rows["ratio"].tolist() == pytest.approx([1 / (2 - 2 * 2 / 4)] * 2)
    assert rows["adjusted_rate"].tolist() == pytest.approx([1 - 1.0 * (1 - 2 / 4)] * 2)
    assert rows["funnel"].tolist() == ["inside", "inside"]
    assert rows["shrunk_rate"].tolist() == [2 / 4, 2 / 4]  # no spread: the shop's rate
    assert rows["shrunk_low"].isna().all()


def test_a_group_without_a_mature_job_has_no_verdict(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | technician
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | Ann
    B      | 2026-03-01 | 2026-03-02 | washer         | leaks   | repaired    | two      | Bob
    """
    visits = """
    job_id | visit_no | technician | outcome
    A      | 1        | Ann        | completed
    B      | 1        | Bob        | completed
    """
    folder = shop(tmp_path, jobs=jobs, visits=visits)
    rows = measure(folder, "first_time_fix", window_days=30, group_by="technician").set_index(
        "group"
    )
    assert rows.loc["Bob", ["rate", "ratio", "adjusted_rate", "shrunk_rate", "funnel"]].isna().all()


def test_the_columns_come_in_the_order_of_the_readme(sample_shop: Path):
    assert list(measure(sample_shop, "first_time_fix").columns)[:20] == [
        "group",
        "repaired",
        "pending",
        "mature",
        "one_visit",
        "fixed_first_time",
        "rate",
        "low",
        "high",
        "expected",
        "ratio",
        "ratio_low",
        "ratio_high",
        "adjusted_rate",
        "shrunk_rate",
        "shrunk_low",
        "shrunk_high",
        "funnel",
        "left_out",
        "unlinked",
    ]


def test_a_filter_on_one_branch_keeps_the_yardstick_of_the_whole_shop(sample_shop: Path):
    whole = measure(sample_shop, "first_time_fix", group_by="branch").set_index("group")
    name = whole.index[0]
    alone = measure(sample_shop, "first_time_fix", Filters(branch=(name,)), group_by="branch")
    assert alone.iloc[0]["expected"] == pytest.approx(whole.loc[name, "expected"])
    assert alone.iloc[0]["adjusted_rate"] == pytest.approx(whole.loc[name, "adjusted_rate"])
