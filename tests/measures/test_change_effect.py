"""The jobs before and after a change: drawn rows by hand, and against the other measures."""

from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from tests.ask import measure, run
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom    | disposition | serial | branch | technician
1      | 2026-01-05 | 2026-01-06 | washer         | wont_drain | repaired    | S1     | North  | Ann
2      | 2026-01-08 | 2026-01-09 | washer         | wont_drain | repaired    | S2     | North  | Ann
3      | 2026-01-28 | 2026-02-03 | washer         | wont_drain | repaired    | S3     | North  | Ann
4      | 2026-02-01 | 2026-02-04 | washer         | wont_drain | repaired    | S4     | North  | Ann
5      | 2026-02-05 | 2026-02-06 | washer         | leaks      | repaired    | S5     | South  | Bob
6      | 2026-02-20 | 2026-02-21 | washer         | wont_drain | repaired    | S2     | North  | Ann
7      | 2026-05-20 | 2026-05-21 | washer         | wont_drain | repaired    | S7     | North  | Ann
"""
VISITS = """
job_id | visit_no | technician | arrived_at       | minutes_on_job | outcome
1      | 1        | Ann        | 2026-01-05 09:00 | 30             | part_not_on_van
1      | 2        | Ann        | 2026-01-06 09:00 | 30             | completed
2      | 1        | Ann        | 2026-01-09 09:00 | 30             | completed
3      | 1        | Ann        | 2026-02-03 09:00 | 30             | completed
4      | 1        | Ann        | 2026-02-04 09:00 | 30             | completed
5      | 1        | Bob        | 2026-02-06 09:00 | 30             | completed
6      | 1        | Ann        | 2026-02-21 09:00 | 30             | completed
7      | 1        | Ann        | 2026-05-21 09:00 | 30             | completed
"""
PARTS = """
job_id | visit_no | part_no | quantity | component  | unit_cost
4      | 1        | P-1     | 1        | drain_pump | 40
"""
CHANGED = date(2026, 2, 1)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory) -> Path:
    return shop(tmp_path_factory.mktemp("change"), jobs=JOBS, visits=VISITS, part_lines=PARTS)


def counts(folder: Path, measured: str, **parameters) -> dict[tuple, tuple[int, int, int]]:
    """Return (touched, after) → jobs, hits, not judged."""
    table = measure(folder, "change_effect", measured=measured, changed_on=CHANGED, **parameters)
    after = table["is_after"].map({True: True, False: False}).astype(object).fillna("between")
    sums = table.groupby([table["is_touched"].astype(bool), after])[
        ["jobs", "hits", "not_judged"]
    ].sum()
    return {
        key: tuple(int(n) for n in row)
        for key, row in zip(sums.index, sums.to_numpy(), strict=True)
    }


def test_a_job_open_on_the_day_of_the_change_is_on_neither_side(drawn: Path):
    found = counts(drawn, "part_needed")
    assert found == {
        (True, False): (2, 1, 0),
        (True, "between"): (1, 0, 0),
        (True, True): (4, 0, 0),
    }


def test_first_time_fix_waits_for_the_window(drawn: Path):
    """Job 1 took two visits; job 2 came back as 6 only after 42 days: fixed. 7 is too recent."""
    found = counts(drawn, "first_time_fix")
    assert found[True, False] == (2, 1, 0)
    assert found[True, True] == (3, 3, 1)


def test_the_branch_a_change_touches_leaves_the_others_to_compare_with(drawn: Path):
    found = counts(drawn, "return_trips", on_branch=["North"])
    assert found[True, True] == (3, 0, 0)
    assert found[False, True] == (1, 0, 0)


def test_a_part_touches_the_jobs_that_fit_it(drawn: Path):
    found = counts(drawn, "return_trips", on_part=["P-1"])
    assert found[True, True] == (1, 0, 0)
    assert found[False, True] == (3, 0, 0)


def test_the_list_opens_the_jobs_of_the_count(drawn: Path):
    jobs = run(
        drawn, "pages/change_jobs", measured="part_needed", changed_on=CHANGED,
        is_touched=True, is_after=False, hits=True,
    )  # fmt: skip
    assert jobs["job_id"].tolist() == ["1"]


def test_a_side_ends_at_the_given_day(drawn: Path):
    found = counts(drawn, "part_needed", after_to=CHANGED + timedelta(days=4))
    assert found[True, True] == (1, 0, 0)


def amounts(folder: Path, measured: str) -> pd.DataFrame:
    """Return jobs, amount and squares by touched and after."""
    table = measure(folder, "change_effect", measured=measured, changed_on=CHANGED)
    known = table[table["is_after"].notna()]
    return known.groupby(known["is_after"].astype(bool))[["jobs", "amount", "squares"]].sum()


def test_amounts_are_summed_over_the_jobs_that_have_them(drawn: Path):
    """Minutes of all visits: 60 and 30 before. Parts: only job 4 has any. Nothing was charged."""
    minutes = amounts(drawn, "minutes")
    assert minutes.loc[False].tolist() == [2, 90, 60**2 + 30**2]
    assert minutes.loc[True, ["jobs", "amount"]].tolist() == [4, 120]
    assert amounts(drawn, "parts_cost").loc[True].tolist() == [1, 40, 1600]
    assert amounts(drawn, "revenue")["jobs"].sum() == 0


@pytest.mark.parametrize(
    ("measured", "amount", "of"),
    [("minutes", "labour_min", "timed"), ("revenue", "revenue", "charged_jobs")],
)
def test_minutes_and_revenue_are_those_of_the_month(sample_shop, measured, amount, of):
    """Two ways of counting one thing: all jobs by month, before a change of the far future."""
    own = measure(sample_shop, "change_effect", measured=measured, changed_on=date(2200, 1, 1))
    sums = own.groupby("month")[["amount", "jobs"]].sum().astype(float)
    other = measure(sample_shop, "month_review").set_index("month")[[amount, of]].astype(float)
    pd.testing.assert_frame_equal(
        sums, other.set_axis(["amount", "jobs"], axis=1), check_names=False
    )


@pytest.mark.parametrize(
    ("measured", "name", "count", "of"),
    [
        ("first_time_fix", "first_time_fix", "fixed_first_time", "mature"),
        ("callbacks", "callbacks", "callbacks_in_window", "mature"),
        ("wrong", "misdiagnosis", "wrong", "judged"),
    ],
)
def test_months_are_those_of_the_measure_itself(sample_shop, measured, name, count, of):
    """Two ways of counting one thing: all jobs by month, before a change of the far future."""
    own = measure(sample_shop, "change_effect", measured=measured, changed_on=date(2200, 1, 1))
    sums = own.groupby("month")[["hits", "jobs"]].sum().query("jobs > 0").astype(int)
    other = measure(sample_shop, name, group_by="month").set_index("group")
    other = other.loc[other[of] > 0, [count, of]].astype(int)
    pd.testing.assert_frame_equal(sums, other.set_axis(["hits", "jobs"], axis=1), check_names=False)
