"""Parts credit: which part is named, on what evidence, and what is only a hint; drawn by hand."""

from functools import partial
from pathlib import Path

import pandas as pd
import pytest

from dashboard.callbacks.credit_paper import credit_paper
from dashboard.callbacks.credit_sentences import by_part, claims, credit_words, supplier_words
from dashboard.cli.main import main
from dashboard.database.labels import read_labels
from dashboard.database.snapshot import take
from dashboard.filters import Filters
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.spellings import proposed_names
from etl.rebuild import accept_words
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
job_id | visit_no | part_no | component          | quantity | unit_cost | supplier
A      | 1        | H1      | defrost_heater     | 1        | 50        | North Supply
A      | 2        | H2      | defrost_heater     | 1        | 60        | North Supply
B      | 2        | H1      | defrost_heater     | 1        | 50        | South Parts
B      | 2        | T1      | defrost_thermostat | 1        | 20        | North Supply
C      | 2        | H1      | defrost_heater     | 1        | 50        | North Supply
C      | 2        | T1      | defrost_thermostat | 1        | 20        | North Supply
D      | 1        | H1      | defrost_heater     | 1        | 51        |
D      | 1        | T1      | defrost_thermostat | 1        | 20        | North Supply
E      | 1        | H2      | defrost_heater     | 1        | 60        | North Supply
F      | 1        | H1      | defrost_heater     | 1        | 50        | North Supply
G      | 1        | H1      | defrost_heater     | 1        | 50        | North Supply
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


def test_of_several_parts_none_is_blamed_where_nothing_says_which(cases):
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
    sums = by_part(said.drop(columns="supplier").assign(supplier="any")).set_index("part_no")
    assert sums.loc["H1", ["cases", "parts_cost", "fitted_jobs"]].tolist() == [3, 151, 6]
    unknown = sums[sums.index.isna()].iloc[0]
    assert pd.isna(unknown.parts_cost) and unknown.cases == 1  # no amount is claimed for it
    assert "4 new parts were faulty" in credit_words(cases.reset_index(), "USD")
    assert "For 1 the part number is not recorded" in credit_words(cases.reset_index(), "USD")


def test_each_case_names_its_supplier_where_the_line_does(cases):
    suppliers = cases["supplier"]
    assert (suppliers["A"], suppliers["B"]) == ("North Supply", "South Parts")
    assert suppliers[["C", "D"]].isna().all()  # not known which part; no supplier written
    fitted = cases["fitted_jobs"]  # of H1: from North in A, C, F, G; from South in B; of all in D
    assert (fitted["A"], fitted["B"], fitted["D"]) == (4, 1, 6)
    said = claims(cases.reset_index())
    sums = by_part(said).set_index(["part_no", "supplier"])
    assert sums.loc[("H1", "North Supply"), ["cases", "parts_cost"]].tolist() == [1, 50]
    assert sums["cases"].sum() == len(said)
    assert supplier_words(cases.reset_index(), "USD") == (
        "By supplier: North Supply 1 ($50), South Parts 1 ($50) and not recorded 2 ($51)."
    ).replace("$", r"\$")


def test_two_suppliers_of_one_number_on_a_job_name_neither(tmp_path: Path):
    two = PARTS + (
        "F      | 1        | H1      | defrost_heater     | 1        | 50        | South Parts\n"
    )
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=two)
    assert pd.isna(measure(folder, "parts_credit").set_index("job_id").loc["F", "supplier"])


def test_the_list_for_one_supplier_holds_no_case_of_another(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)
    cases, labels = measure(folder, "parts_credit"), read_labels(take(folder))
    paper = partial(credit_paper, cases, Filters(), labels, "USD", "")
    everything, south = paper(), paper("South Parts")
    assert [table.title for table in everything.tables[::2]] == [
        "North Supply: by part number",
        "South Parts: by part number",
        "Supplier not recorded: by part number",
    ]
    cells = [cell for table in south.tables for row in table.rows for cell in row]
    assert "B" in cells and not {"A", "C", "D"} & set(cells)
    assert "For South Parts." in south.lines
    assert "1 new part was faulty" in " ".join(south.lines)
    listed = sum(len(table.rows) for table in everything.tables[1::2])
    assert listed == len(claims(cases))


def test_spellings_of_a_supplier_are_joined_once_confirmed(tmp_path: Path):
    lines = PARTS.replace("| South Parts", "| North Suply")
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=lines)
    (proposed,) = proposed_names(records(folder, "pages/written_names"))
    mapping, field, same = proposed
    assert (field, same.spelling, same.name) == ("supplier", "North Suply", "North Supply")
    accept_words(folder, [AcceptedWord(mapping, field, same.spelling, same.name)])
    named = measure(folder, "parts_credit").set_index("job_id")["supplier"]
    assert named["B"] == "North Supply"


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


def test_the_page_lists_the_claims_of_the_supplier_chosen(sample_shop, monkeypatch):
    app = opened("parts_credit", sample_shop, monkeypatch)
    assert "By supplier: " in texts(app)
    whole = sum(app.dataframe[0].value["cases"])
    (choice,) = [box for box in app.selectbox if box.label == "Supplier"]
    counts = {}
    for name in choice.options[1:]:
        choice.set_value(name).run()
        check(app)
        counts[name] = sum(app.dataframe[0].value["cases"])
        assert len(app.dataframe[1].value) == counts[name]
    assert sum(counts.values()) == whole
    assert len(counts) == 4  # three suppliers and "not recorded"


def test_an_unknown_supplier_is_reported_on_page_and_command(
    sample_shop, monkeypatch, tmp_path: Path, capsys
):
    check(opened("parts_credit", sample_shop, monkeypatch, supplier="Nobody Ltd"))
    out = tmp_path / "credit.html"
    call = ["print", "parts_credit", "--db", str(sample_shop), "--out", str(out), "--supplier"]
    assert main([*call, "Tarnwell Supply"]) == 0
    assert "Brackmoor" not in out.read_text(encoding="utf-8")
    assert main([*call, "Nobody Ltd"]) == 1
    assert "--supplier Nobody Ltd: not in these claims" in capsys.readouterr().err
    assert main(["print", "season", *call[2:], "Tarnwell Supply"]) == 1
