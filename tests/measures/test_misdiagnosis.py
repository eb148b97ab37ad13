"""Wrong diagnoses by group, by washers drawn and counted by hand; the planted technician is found."""

from pathlib import Path

import numpy as np
import pytest

from dashboard.evidence.compute import judged
from dashboard.filters import Filters
from sample_data.shop import GUESSING_TECHNICIAN
from tests.ask import measure, run
from tests.diagnosis.drawn_jobs import PUMP, job, part, reading, washers
from tests.evidence.truth import query

COLUMNS = [
    "group", "jobs", "judged", "wrong", "corrected", "came_back", "not_tested", "against",
    "missed", "several", "rate", "low", "high", "cost",
]  # fmt: skip


@pytest.fixture
def two_people(tmp_path: Path) -> Path:
    """Ann replaced 3 pumps, 1 untested; Bob 2, both untested; A3 and B1 came back as the lock."""
    names = {"A1": "Ann", "A2": "Ann", "A3": "Ann", "B1": "Bob", "B2": "Bob"}
    returns = {"R3": "A3", "R1": "B1"}
    return washers(
        tmp_path,
        jobs="".join(job(name, technician=who, customer=name) for name, who in names.items())
        + "".join(
            job(name, "lid_lock_failed", "2026-01-10", "2026-01-11", of, technician="Joe")
            for name, of in returns.items()
        )
        + job("J", opened="2026-06-01", closed="2026-06-01", technician="Joe"),
        readings=reading("A1", PUMP, "OL") + reading("A2", PUMP, "15"),
        part_lines="".join(part(name, "drain_pump") for name in names),
    )


def test_columns_are_in_the_order_of_the_readme(two_people: Path):
    table = measure(two_people, "misdiagnosis", group_by="technician")
    assert list(table.columns[: len(COLUMNS)]) == COLUMNS


def test_a_wrong_diagnosis_counts_with_its_technician_over_the_judged_jobs(two_people: Path):
    rows = measure(two_people, "misdiagnosis", group_by="technician").set_index("group")
    assert rows.loc["Ann", ["wrong", "judged"]].tolist() == [1, 3]
    assert rows.loc["Bob", ["wrong", "judged"]].tolist() == [1, 2]
    assert rows.loc["Joe", ["wrong", "judged", "jobs"]].tolist() == [0, 2, 3]  # J: too recent
    assert rows.loc["Ann", "rate"] == pytest.approx(1 / 3)


def test_each_group_is_asked_only_what_its_records_can_say(two_people: Path):
    table = measure(two_people, "misdiagnosis", group_by="technician", pattern="not_tested")
    rows = table.set_index("group")
    assert rows.loc["Ann", ["with_pattern", "asked"]].tolist() == [1, 3]
    assert rows.loc["Bob", ["with_pattern", "asked"]].tolist() == [2, 2]
    assert rows.loc["Joe", ["asked", "jobs"]].tolist() == [0, 3]  # no part: cannot be asked


def test_expected_is_the_rate_of_the_others_for_the_same_work(two_people: Path):
    """Untested: Bob 2 of 2, Ann 1 of 3: Ann's three jobs expect 3 * 2/2, Bob's two 2 * 1/3."""
    table = measure(two_people, "misdiagnosis", group_by="technician", pattern="not_tested")
    expected = table.set_index("group")["expected"]
    assert expected["Ann"] == pytest.approx(3 * 2 / 2)
    assert expected["Bob"] == pytest.approx(2 * 1 / 3)


def test_expected_stays_that_of_the_others_when_one_technician_is_chosen(two_people: Path):
    only_bob = Filters(technician=("Bob",))
    row = measure(
        two_people, "misdiagnosis", only_bob, pattern="not_tested", group_by="technician"
    ).iloc[0]
    assert row.expected == pytest.approx(2 * 1 / 3)


def test_without_a_wage_the_cost_cannot_be_said_but_its_parts_can(two_people: Path):
    row = measure(two_people, "misdiagnosis", labour_per_hour=None).iloc[0]
    assert row[["cost"]].isna().all()
    assert (row.lost_min, row.unneeded_parts_cost) == (0, 20)


def test_an_empty_filter_gives_an_empty_table(two_people: Path):
    assert measure(two_people, "misdiagnosis", Filters(technician=("Nobody",))).empty


def test_what_a_habit_costs_by_hand(two_people: Path):
    """Tested: A1, A2, none wrong. Not tested: A3, B1, B2, two wrong. So no ratio can be given."""
    rows = run(two_people, "pages/habits", window_days=30).set_index("habit")
    found = rows.loc["not_tested"]
    assert (found.n_with, found.wrong_with, found.n_without, found.wrong_without) == (3, 2, 2, 0)
    assert found.rate_with == pytest.approx(2 / 3)
    assert found[["ratio", "low", "high"]].isna().all()


def technicians_unlike_the_others(shop: Path, **parameters: str) -> list[str]:
    """Return who lies outside 99.8% limits around what the others' rate expects of him."""
    table = measure(shop, "misdiagnosis", group_by="technician", **parameters)
    return table.loc[table["funnel"] == "different", "group"].tolist()


def test_the_planted_technician_is_found_by_habit_and_by_outcome(sample_shop: Path):
    planted = GUESSING_TECHNICIAN
    assert planted in technicians_unlike_the_others(sample_shop)
    table = run(sample_shop, "pages/diagnosis_parts", component="control_board", window_days=30)
    rows = table.set_index("group")
    strata = run(sample_shop, "pages/part_strata", component="control_board", window_days=30)
    found = judged(table, strata, "not_tested", "replaced").set_index("group")
    own = rows.loc[planted]
    assert found.loc[planted, "funnel"] == "different"
    assert own.rate == rows["rate"].max()


def test_patterns_by_group_add_up_to_the_shop(sample_shop: Path):
    shop_row = measure(sample_shop, "misdiagnosis").iloc[0]
    for group_by in ("technician", "symptom", "cause"):
        table = measure(sample_shop, "misdiagnosis", group_by=group_by)
        for column in COLUMNS[1:10]:
            assert table[column].sum() == shop_row[column]


def test_two_ways_of_counting_wrong_diagnoses_agree(sample_shop: Path):
    """The measure, its list of jobs, and the matrix of mix-ups where the first part is known."""
    row = measure(sample_shop, "misdiagnosis").iloc[0]
    jobs = run(sample_shop, "pages/diagnosis_jobs", window_days=30)
    assert row.wrong == len(jobs)
    pairs = measure(sample_shop, "mix_ups")
    mixed = pairs[pairs["first_component"] != pairs["final_component"]]["jobs"].sum()
    assert mixed == jobs["first_component"].notna().sum()


def test_the_month_and_the_measure_call_the_same_returns_wrong(sample_shop: Path):
    """Jobs done in one visit: the month's reason wrong_diagnosis is the measure's came_back."""
    nothing = ", ".join(["NULL"] * 6)
    month = query(
        sample_shop,
        f"SELECT job_id FROM core.fixes_in({nothing}, 30) "
        "WHERE is_mature AND attended_visits = 1 AND reason = 'wrong_diagnosis' ORDER BY job_id",
    )
    page = query(
        sample_shop,
        "SELECT patterns.job_id FROM core.patterns_in("
        f"{nothing}, NULL, 30, NULL) AS patterns "
        "INNER JOIN core.job_facts AS facts ON patterns.job_id = facts.job_id "
        "WHERE patterns.is_came_back AND facts.attended_visits = 1 ORDER BY patterns.job_id",
    )
    assert len(page) > 50
    assert month["job_id"].tolist() == page["job_id"].tolist()


def test_the_sample_shop_fits_several_parts_at_once_where_readings_left_it_open(sample_shop: Path):
    row = measure(sample_shop, "misdiagnosis").iloc[0]
    assert 50 < row.several < row.jobs / 10


def test_words_follow_the_bounds_of_jaeschke(sample_shop: Path):
    """Ratios above 10 or below 0.1 change the odds largely, 5-10 and 0.1-0.2 moderately.

    Source: Jaeschke, Guyatt, Sackett 1994, JAMA 271:703-707, table of likelihood ratios.
    """
    rows = query(sample_shop, "SELECT log_ratio, evidence FROM core.evidence_patterns")
    ratio = np.exp(rows["log_ratio"])
    moderate, large = 5.0, 0.1
    assert (rows.loc[ratio > moderate * 1.001, "evidence"] == "supported").all()
    assert (rows.loc[ratio < large * 0.999, "evidence"] == "against").all()
    between = rows[(ratio > large * 1.001) & (ratio < moderate * 0.999)]
    assert set(between["evidence"]) == {"unclear", "not tested", "no test"}
