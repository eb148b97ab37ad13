"""Parts credit: which part is named, on what evidence, and what is only a hint; drawn by hand."""

from pathlib import Path

import pandas as pd
import pytest

from dashboard.callbacks.credit_sentences import by_part, claims, credit_words
from dashboard.filters import Filters
from tests.ask import measure, records
from tests.shop_builder import shop
from tests.test_pages import check, opened, texts

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom         | disposition | customer | root_cause             | callback_of
A      | 2026-01-01 | 2026-01-08 | refrigerator   | warm_fresh_food | repaired    | one      | defrost_heater_open    |
B      | 2026-01-01 | 2026-01-08 | refrigerator   | warm_fresh_food | repaired    | two      | defrost_heater_open    |
C      | 2026-01-01 | 2026-01-08 | refrigerator   | warm_fresh_food | repaired    | three    |                        |
D      | 2026-02-01 | 2026-02-02 | refrigerator   | warm_fresh_food | repaired    | four     | defrost_heater_open    |
E      | 2026-02-20 | 2026-02-21 | refrigerator   | warm_fresh_food | repaired    | four     | defective_new_part     | D
F      | 2026-03-01 | 2026-03-02 | refrigerator   | warm_fresh_food | repaired    | five     | defrost_heater_open    |
G      | 2026-03-20 | 2026-03-21 | refrigerator   | warm_fresh_food | repaired    | five     | defrost_heater_open    | F
"""
VISITS = """
job_id | visit_no | technician | outcome        | minutes_on_job | travel_minutes
A      | 1        | Ann        | defective_part | 20             | 15
A      | 2        | Ann        | completed      | 40             | 25
B      | 1        | Ann        | defective_part | 20             | 15
B      | 2        | Ann        | completed      | 40             | 35
C      | 1        | Ann        | defective_part | 20             | 15
C      | 2        | Ann        | completed      | 40             | 45
D      | 1        | Ann        | completed      | 40             | 20
E      | 1        | Ann        | completed      | 30             | 20
F      | 1        | Ann        | completed      | 40             | 20
G      | 1        | Ann        | completed      | 50             | 20
"""
PARTS = """
job_id | visit_no | part_no | component          | quantity | unit_cost
A      | 1        | H1      | defrost_heater     | 1        | 50
A      | 2        | H2      | defrost_heater     | 1        | 60
B      | 2        | H1      | defrost_heater     | 1        | 50
B      | 2        | T1      | defrost_thermostat | 1        | 20
C      | 2        | H1      | defrost_heater     | 1        | 50
C      | 2        | T1      | defrost_thermostat | 1        | 20
D      | 1        | H1      | defrost_heater     | 1        | 51
D      | 1        | T1      | defrost_thermostat | 1        | 20
E      | 1        | H2      | defrost_heater     | 1        | 60
F      | 1        | H1      | defrost_heater     | 1        | 50
G      | 1        | H1      | defrost_heater     | 1        | 50
"""


@pytest.fixture
def cases(tmp_path: Path) -> pd.DataFrame:
    """The cases of the drawn shop, by the job in which the part was fitted."""
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)
    return measure(folder, "parts_credit").set_index("job_id")


def test_a_part_fitted_on_the_visit_that_found_it_faulty_is_named(cases):
    a = cases.loc["A"]
    assert (a.evidence, a.part_no, a.fitted) == ("on site", "H1", "on that visit")
    assert (a.unit_cost, a.lost_min) == (50, 25)


def test_else_its_replacement_of_the_recorded_component_is_named(cases):
    b = cases.loc["B"]
    assert (b.part_no, b.fitted, b.lost_min) == ("H1", "in its place", 35)


def test_of_several_parts_none_is_accused_where_nothing_says_which(cases):
    assert cases.loc["C", "evidence"] == "on site"
    assert pd.isna(cases.loc["C", "part_no"])
    assert pd.isna(cases.loc["C", "unit_cost"])


def test_a_return_that_names_the_new_part_points_to_what_was_fitted_again(cases):
    d = cases.loc["D"]
    assert (d.evidence, d.part_no, d.found_on) == ("came back", "H1", "E")
    assert (d.unit_cost, d.lost_min) == (51, 30 + 20)


def test_the_same_part_fitted_again_is_a_hint_and_no_claim(cases):
    assert cases.loc["F", "evidence"] == "fitted again"
    said = claims(cases.reset_index())
    assert set(said["job_id"]) == set("ABCD")
    sums = by_part(said).set_index("part_no")
    assert sums.loc["H1", ["cases", "parts_cost", "fitted_jobs"]].tolist() == [3, 151, 6]
    unknown = sums[sums.index.isna()].iloc[0]
    assert pd.isna(unknown.parts_cost) and unknown.cases == 1  # no amount is claimed for it
    assert "4 new parts were faulty" in credit_words(cases.reset_index(), "USD")
    assert "For 1 the part number is not recorded" in credit_words(cases.reset_index(), "USD")


def test_a_hint_after_the_warranty_is_none(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)
    late = measure(folder, "parts_credit", warranty_days=10)
    assert "fitted again" not in set(late["evidence"])
    assert "came back" in set(late["evidence"])


def test_every_visit_that_ended_so_is_a_case(sample_shop: Path):
    """The twin: visits of the timeline counted job by job in Python."""
    table = measure(sample_shop, "parts_credit")
    on_site = table[table["evidence"] == "on site"]
    for job in on_site["job_id"].unique()[:8]:
        visits = records(sample_shop, "pages/job_timeline_visits", job_id=job)
        wanted = sum(each["outcome"] == "defective_part" for each in visits)
        assert (on_site["job_id"] == job).sum() == wanted
    branch = measure(sample_shop, "parts_credit", Filters(branch=("Mill Lane",)))
    assert 0 < len(branch) < len(table)


def test_the_page_lists_claims_and_hints_apart(sample_shop, monkeypatch):
    app = opened("parts_credit", sample_shop, monkeypatch)
    check(app)
    assert "new parts were faulty" in texts(app)
    assert "ask who did the job before you claim" in texts(app)
