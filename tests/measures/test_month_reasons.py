"""Why a month differed: reasons by hand, and parts that add up to the departure on any shop."""

from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings, strategies

from tests.ask import measure, run
from tests.measures.random_shop import Job, RandomShop, shops
from tests.shop_builder import shop

VIEWS = (None, "technician", "branch", "appliance_kind", "symptom", "part_no")
JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | root_cause
A      | 2026-01-01 | 2026-01-02 | refrigerator   | leaks   | repaired    | one      |
B      | 2026-01-03 | 2026-01-05 | refrigerator   | leaks   | repaired    | two      |
C      | 2026-01-06 | 2026-01-08 | refrigerator   | leaks   | repaired    | three    |
D      | 2026-02-01 | 2026-02-03 | refrigerator   | leaks   | repaired    | four     |
E      | 2026-02-01 | 2026-02-04 | refrigerator   | leaks   | repaired    | five     |
F      | 2026-02-05 | 2026-02-09 | refrigerator   | leaks   | repaired    | six      |
G      | 2026-02-20 | 2026-02-21 | refrigerator   | leaks   | declined    | six      |
Z      | 2026-06-01 | 2026-06-02 | refrigerator   | leaks   | declined    | nine     |
"""
VISITS = """
job_id | visit_no | technician | outcome         | minutes_on_job | travel_minutes
A      | 1        | Ann        | completed       | 30             | 20
B      | 1        | Ann        | part_not_on_van | 30             | 20
B      | 2        | Ann        | completed       | 30             | 25
C      | 1        | Bea        | completed       | 30             | 20
D      | 1        | Bea        | part_not_on_van | 30             | 20
D      | 2        | Bea        | misdiagnosis    | 30             | 15
D      | 3        | Bea        | completed       | 30             | 10
E      | 1        | Bea        | misdiagnosis    | 30             | 20
E      | 2        | Bea        | completed       | 30             | 30
F      | 1        | Ann        | completed       | 30             | 20
G      | 1        | Ann        | completed       | 40             | 20
"""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """January: 1 of 3 not fixed first time. February: all 3, one of them back after 11 days."""
    return shop(tmp_path_factory.mktemp("reasons"), jobs=JOBS, visits=VISITS)


def test_each_job_has_the_reason_of_its_first_trip_or_of_its_callback(drawn: Path):
    jobs = run(drawn, "pages/jobs_not_fixed").set_index("job_id")["reason"]
    assert jobs.to_dict() == {
        "B": "part_needed",
        "D": "part_needed",  # the misdiagnosis came on the second trip
        "E": "wrong_diagnosis",
        "F": "came_back",
    }


def test_a_reason_is_compared_with_its_share_in_the_other_months(drawn: Path):
    rows = measure(drawn, "month_reasons", month="2026-02").set_index("group")
    assert rows["month_jobs"].unique().tolist() == [3]
    assert rows["month_expected"].unique() == pytest.approx([3 * 1 / 3])  # January alone: 1 of 3
    assert rows["not_fixed"].to_dict() == {"came_back": 1, "part_needed": 1, "wrong_diagnosis": 1}
    assert rows["expected"].to_dict() == {
        "came_back": 0,
        "part_needed": pytest.approx(1),
        "wrong_diagnosis": 0,
    }


def test_the_cost_is_the_road_of_return_trips_and_the_whole_of_callbacks(drawn: Path):
    rows = measure(drawn, "month_reasons", month="2026-02", labour_per_hour=60)
    costs = rows.set_index("group")["lost_cost"].to_dict()  # at 60 an hour a minute costs 1
    assert costs == {"came_back": 40 + 20, "part_needed": 15 + 10, "wrong_diagnosis": 30}


def test_a_technician_with_few_jobs_before_is_compared_with_the_shop(drawn: Path):
    few = measure(drawn, "month_reasons", group_by="technician", month="2026-02", min_jobs=2)
    few = few[~few["is_mix"]].set_index("group")
    assert few.loc["Ann", "expected"] == pytest.approx(1 * 1 / 2)  # own: 1 of 2 in January
    assert few.loc["Bea", "expected"] == pytest.approx(2 * 1 / 3)  # too few of her own: the shop's


def _check(rows: pd.DataFrame, fixes: pd.DataFrame) -> None:
    """The parts of each month add up to its departure, and its jobs are those of first-time fix."""
    known = fixes[fixes["mature"] > 0].set_index("group")
    for month, part in rows.groupby("month"):
        first = part.iloc[0]
        assert part["not_fixed"].sum() == first["month_not_fixed"]
        assert first["month_jobs"] == known.loc[month, "mature"]
        assert first["month_not_fixed"] == (known["mature"] - known["fixed_first_time"])[month]
        if pd.notna(first["month_expected"]):
            departure = first["month_not_fixed"] - first["month_expected"]
            assert part["excess"].sum() == pytest.approx(departure, abs=1e-7)


@pytest.mark.parametrize("view", VIEWS)
def test_the_parts_add_up_on_the_sample_shop(sample_shop: Path, view: str | None):
    rows = measure(sample_shop, "month_reasons", group_by=view)
    assert len(rows) > 20
    _check(rows, measure(sample_shop, "first_time_fix", group_by="month"))


def test_the_departure_is_that_of_the_chart_of_months(sample_shop: Path):
    """Two ways to the same normal: the baseline of month_signals, and that of the split."""
    signals = measure(sample_shop, "month_signals").set_index("month")
    rows = measure(sample_shop, "month_reasons").groupby("month").first()
    assert len(rows) > 12
    for month, row in rows.iterrows():
        usual = 1 - row["month_expected"] / row["month_jobs"]
        assert usual == pytest.approx(signals.loc[month, "centre"], abs=1e-12), month


@pytest.fixture(scope="module")
def database() -> RandomShop:
    """One in-memory database for all shops."""
    return RandomShop()


@pytest.mark.slow
@settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
@given(
    jobs=shops(),
    window_days=strategies.sampled_from([0, 30, 365]),
    view=strategies.sampled_from(VIEWS),
    min_jobs=strategies.sampled_from([1, 3, 20]),
)
def test_the_parts_add_up_on_random_shops(
    database: RandomShop, jobs: list[Job], window_days: int, view: str | None, min_jobs: int
):
    database.fill(jobs)
    parameters = {"window_days": window_days, "group_by": view, "min_jobs": min_jobs}
    rows = database.rows("measures/month_reasons", labour_per_hour=60, **parameters)
    fixes = database.rows("measures/first_time_fix", window_days=window_days, group_by="month")
    if not rows:
        assert all(row["mature"] == row["fixed_first_time"] for row in fixes) or not fixes
        return
    _check(pd.DataFrame(rows), pd.DataFrame(fixes))


def test_the_planted_month_lacked_parts_and_no_one_stands_out(sample_shop: Path):
    reasons = measure(sample_shop, "month_reasons", month="2026-03")
    worse = reasons[(reasons["verdict"] == "different") & (reasons["excess"] > 0)]
    assert set(worse["group"]) == {"part_needed", "part_ordered"}
    people = measure(sample_shop, "month_reasons", group_by="technician", month="2026-03")
    assert not (people["verdict"] == "different").any()
