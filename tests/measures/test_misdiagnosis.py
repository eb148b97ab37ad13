"""Misdiagnosis by group, by washers drawn and counted by hand; the planted technician is found."""

from pathlib import Path

import pytest

from dashboard.filters import Filters
from dashboard.stats import funnel
from tests.ask import measure, run
from tests.diagnosis.drawn_jobs import PUMP, job, part, reading, washers

COLUMNS = [
    "group", "jobs", "condemned_while_good", "no_evidence", "passed_over", "proved_wrong",
    "parts_at_a_guess", "rate", "low", "high", "cost",
]  # fmt: skip


@pytest.fixture
def two_people(tmp_path: Path) -> Path:
    """Ann replaced 3 pumps, 1 untested; Bob 2, both untested; J closed later so that all are old."""
    names = {"A1": "Ann", "A2": "Ann", "A3": "Ann", "B1": "Bob", "B2": "Bob"}
    return washers(
        tmp_path,
        jobs="".join(job(name, technician=who) for name, who in names.items())
        + job("J", opened="2026-06-01", closed="2026-06-01", technician="Joe"),
        readings=reading("A1", PUMP, "OL") + reading("A2", PUMP, "15"),
        part_lines="".join(part(name, "drain_pump") for name in names),
    )


def test_columns_stand_as_the_readme_names_them(two_people: Path):
    table = measure(two_people, "misdiagnosis", group_by="technician")
    assert list(table.columns[: len(COLUMNS)]) == COLUMNS


def test_each_group_counts_its_own_jobs_and_the_rate_is_of_those_that_can_be_asked(two_people):
    table = measure(two_people, "misdiagnosis", group_by="technician", pattern="no_evidence")
    rows = table.set_index("group")
    assert (rows.loc["Ann", "with_pattern"], rows.loc["Ann", "asked"]) == (1, 3)
    assert (rows.loc["Bob", "with_pattern"], rows.loc["Bob", "asked"]) == (2, 2)
    assert rows.loc["Ann", "rate"] == pytest.approx(1 / 3)
    assert (rows.loc["Joe", "asked"], rows.loc["Joe", "jobs"]) == (0, 1)  # no part: cannot be asked
    assert rows.loc["Ann", "condemned_while_good"] == 1  # A2: 15 ohm lies inside


def test_expected_gives_each_job_the_shops_rate_of_its_kind_and_complaint(two_people: Path):
    """3 of 5 pumps were untested: Ann's three jobs expect 3 * 3/5, Bob's two 2 * 3/5."""
    table = measure(two_people, "misdiagnosis", group_by="technician", pattern="no_evidence")
    expected = table.set_index("group")["expected"]
    assert expected["Ann"] == pytest.approx(3 * 3 / 5)
    assert expected["Bob"] == pytest.approx(2 * 3 / 5)


def test_expected_stays_the_shops_when_one_technician_is_chosen(two_people: Path):
    only_bob = Filters(technician=("Bob",))
    row = measure(two_people, "misdiagnosis", only_bob, pattern="no_evidence").iloc[0]
    assert row.expected == pytest.approx(2 * 3 / 5)


def test_any_of_the_five_counts_a_job_once(two_people: Path):
    """A2 condemned while good, A3 B1 B2 without evidence; A1 shows nothing, J is too young."""
    row = measure(two_people, "misdiagnosis").iloc[0]
    assert (row.with_pattern, row.asked) == (4, 5)


def test_without_a_wage_the_cost_cannot_be_said_but_its_parts_can(two_people: Path):
    row = measure(two_people, "misdiagnosis", labour_per_hour=None).iloc[0]
    assert row[["cost"]].isna().all()
    assert (row.lost_min, row.unneeded_parts_cost) == (0, 0)


def test_an_empty_filter_gives_an_empty_table(two_people: Path):
    assert measure(two_people, "misdiagnosis", Filters(technician=("Nobody",))).empty


def test_the_planted_technician_is_found_on_control_boards(sample_shop: Path):
    """Brenwick replaces boards without a reading (sample_data/truth.csv); nobody else stands out."""
    table = run(sample_shop, "pages/diagnosis_parts", component="control_board")
    verdicts = {
        row.group: funnel.verdict(row.rate, row.replaced, row.expected / row.replaced)
        for row in table.itertuples()
    }
    brenwick = table.set_index("group").loc["Brenwick"]
    assert verdicts["Brenwick"] == "different"
    assert brenwick.untested > brenwick.replaced / 2
    too_high = {
        row.group
        for row in table.itertuples()
        if verdicts[row.group] == "different" and row.without > row.expected
    }
    assert too_high == {"Brenwick"}


def test_the_planted_technician_is_found_among_all_jobs_too(sample_shop: Path):
    table = measure(sample_shop, "misdiagnosis", group_by="technician", pattern="no_evidence")
    verdicts = {
        row.group: funnel.verdict(row.rate, row.asked, row.expected / row.asked)
        for row in table.itertuples()
    }
    assert [who for who, told in verdicts.items() if told == "different"] == ["Brenwick"]


def test_patterns_by_group_add_up_to_the_shop(sample_shop: Path):
    shop_row = measure(sample_shop, "misdiagnosis").iloc[0]
    for group_by in ("technician", "symptom", "cause"):
        table = measure(sample_shop, "misdiagnosis", group_by=group_by)
        for column in COLUMNS[1:7]:
            assert table[column].sum() == shop_row[column]
