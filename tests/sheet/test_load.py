"""The sheet of the sample shop: its numbers are those of the measures, and it is one page."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from dashboard.access.reader import Reader, read_as
from dashboard.cli.main import main
from dashboard.database.snapshot import Snapshot, take
from dashboard.database.version import NoData
from dashboard.filters import Filters
from dashboard.sheet.figures import Subject
from dashboard.sheet.html import html
from dashboard.sheet.load import complaint_sheet
from dashboard.sheet.plain_text import as_text
from dashboard.text.cautions import cautions
from dashboard.text.pdf import browser, pdf_of
from tests import ask

WARM = Subject("refrigerator", "warm_fresh_food")
SAME = Filters(appliance_kind=("refrigerator",), symptom=("warm_fresh_food",))
ASKED = {"kind": "refrigerator", "complaint": "warm_fresh_food"}


@pytest.fixture(scope="module")
def snapshot(sample_shop: Path) -> Snapshot:
    return take(sample_shop)


def model_of(sample_shop: Path) -> Subject:
    choices = ask.run(sample_shop, "pages/sheet_choices")
    mine = choices[choices["symptom"] == "warm_fresh_food"].sort_values("jobs", ascending=False)
    return replace(WARM, brand=mine["brand"].iloc[0], model=mine["model"].iloc[0])


def test_causes_are_the_repaired_jobs_of_root_causes(sample_shop: Path):
    """Two ways of counting: the sheet's jobs by cause, and the measure of root causes."""
    sheet = ask.run(sample_shop, "pages/sheet_causes", **ASKED).set_index("cause")["jobs"]
    mix = ask.measure(sample_shop, "root_cause_mix", SAME).set_index("cause")["jobs"]
    none_found = {"not recorded", "no_fault_found", "cause_unknown"}
    assert sheet[sheet > 0].to_dict() == {
        cause: jobs for cause, jobs in mix.items() if cause not in none_found
    }


def test_returns_are_those_of_the_measure_of_callbacks(sample_shop: Path):
    jobs = ask.run(sample_shop, "pages/sheet_jobs", **ASKED)
    measured = ask.measure(sample_shop, "callbacks", SAME).iloc[0]
    for ours, theirs in (("repaired",) * 2, ("mature",) * 2, ("callbacks", "callbacks_in_window")):
        assert jobs[ours].sum() == measured[theirs]


def test_brand_and_model_part_the_jobs_and_are_read_as_people_write_them(sample_shop: Path):
    one = model_of(sample_shop)
    plain = ask.run(sample_shop, "pages/sheet_jobs", **ASKED, brand=one.brand, model=one.model)
    written = ask.run(
        sample_shop,
        "pages/sheet_jobs",
        **ASKED,
        brand=f" {one.brand.upper()}",
        model=one.model.lower(),
    )
    assert plain.equals(written)
    assert plain["is_near"].tolist() == [True, False]
    assert plain["jobs"].sum() == ask.run(sample_shop, "pages/sheet_jobs", **ASKED)["jobs"].sum()


def test_the_sheet_of_a_model_says_how_much_it_borrows(snapshot: Snapshot, sample_shop: Path):
    sheet = complaint_sheet(snapshot, model_of(sample_shop))
    assert re.search(r"\d+ repairs? of this model: \d+% of the weight is borrowed", sheet.basis)
    assert "all brands and models" in sheet.came_back


def test_a_complaint_without_a_job_speaks_from_general_weights(snapshot: Snapshot):
    never = Filters(branch=("no such branch",))
    sheet = complaint_sheet(snapshot, WARM, never)
    assert sheet.is_general
    assert "No repair of our own yet" in sheet.basis
    assert sheet.has_tests and sheet.causes and sheet.last_jobs.empty


def test_an_unknown_kind_or_complaint_is_an_error_that_says_so(snapshot: Snapshot):
    with pytest.raises(NoData, match="no test is listed"):
        complaint_sheet(snapshot, Subject("refrigerator", "no_such_complaint"))


def test_every_caution_is_there_once_and_before_the_test_that_needs_it(snapshot: Snapshot):
    texts = [line.text for line in complaint_sheet(snapshot, WARM).lines]
    again = cautions()["lock_out_again"][1]
    known = [text for _, text in cautions().values() if text in texts and text != again]
    assert all(texts.count(text) == 1 for text in known)
    live = texts.index(cautions()["live"][1])
    assert live < min(place for place, text in enumerate(texts) if "(LIVE" in text)
    assert cautions()["refrigerant"][1] in texts


def test_free_looks_come_first_and_frost_is_read_before_the_heater(snapshot: Snapshot):
    """Common practice, no source."""
    tests = [line.text for line in complaint_sheet(snapshot, WARM).lines if line.kind == "test"]
    assert tests[0].startswith("Freezer temperature: −10 to 5 °F")
    frost = next(place for place, text in enumerate(tests) if text.startswith("Frost on the"))
    heater = next(place for place, text in enumerate(tests) if text.startswith("Defrost heater"))
    assert frost + 1 == heater


def test_flat_rates_are_those_of_the_price_list_and_only_for_who_may_see_them(
    snapshot: Snapshot, sample_shop: Path
):
    rates = ask.measure(sample_shop, "flat_rate")
    mine = rates[(rates["appliance_kind"] == "refrigerator")].set_index("repair_code")
    heater = f"${mine.loc['replace_defrost_heater', 'proposed_rate']:,.0f}"
    assert heater in next(line for line in complaint_sheet(snapshot, WARM).plan if "heater" in line)
    names = ask.run(sample_shop, "access/technicians")["technician"].tolist()
    name, others = names[0], names[1:]
    read_as(Reader("technician", "t@example.com", name))
    try:
        own = take(sample_shop)
        sheet = complaint_sheet(own, WARM)
    finally:
        read_as(None)
    assert "flat rate" not in " ".join(sheet.plan)
    assert not [other for other in others if other in as_text(sheet)]
    shop_wide = complaint_sheet(snapshot, WARM)
    assert sheet.causes == shop_wide.causes
    assert sheet.came_back == shop_wide.came_back


def test_text_that_others_wrote_is_escaped(snapshot: Snapshot):
    sheet = complaint_sheet(snapshot, replace(WARM, brand="<b>x"))
    assert "&lt;b&gt;x" in html(sheet)
    assert "<b>x" not in html(sheet)


@pytest.mark.skipif(browser() is None, reason="no browser that prints")
@pytest.mark.parametrize("wanted", [("refrigerator", "not_cooling"), ("dryer_gas", "no_heat")])
def test_the_longest_sheets_print_on_one_page(snapshot: Snapshot, wanted: tuple[str, str]):
    pdf = pdf_of(html(complaint_sheet(snapshot, Subject(*wanted))))
    assert len(re.findall(rb"/Type\s*/Page[^s]", pdf)) == 1


def test_the_command_prints_the_sheet_and_names_what_it_wants(
    sample_shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture
):
    place = ["--db", str(sample_shop)]
    assert main(["sheet", "refrigerator", "warm_fresh_food", *place]) == 0
    assert "Looks and tests, in order" in capsys.readouterr().out
    assert main(["sheet", "refrigerator", "no_such", *place]) == 1
    error = capsys.readouterr().err
    assert "wanted one of" in error and "warm_fresh_food" in error and error.count("\n") == 1
    file = tmp_path / "sheet.html"
    assert main(["sheet", "washer", "wont_drain", "--out", str(file), *place]) == 0
    assert "Does not drain" in file.read_text(encoding="utf-8")
    assert main(["sheet", "washer", "wont_drain", "--out", str(tmp_path / "s.doc"), *place]) == 1
