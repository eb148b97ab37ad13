"""The pages of prices and van stock: what a hand on a slider, a field or a button changes."""

import re
from pathlib import Path

import pytest

from dashboard.pricing.price_list import LAW
from dashboard.settings.file import read_settings, write_settings
from tests.ask import measure
from tests.measures.test_flat_rate import JOBS, PARTS, VISITS
from tests.shop_builder import shop
from tests.test_pages import check, opened, texts


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """A small shop whose settings may be written."""
    return shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)


def proposed(app) -> float:
    """Return the rate that the page of one repair proposes."""
    line = next(m.value for m in app.markdown if m.value.startswith("**Proposed: "))
    amount = line.removeprefix("**Proposed: ").split("**")[0]
    return float(re.sub(r"[^0-9.]", "", amount))


def slider(app, label: str):
    """Return the slider whose label starts so."""
    return next(each for each in app.slider if each.label.startswith(label))


def test_the_law_on_estimates_is_on_both_pricing_pages(sample_shop, monkeypatch):
    for page in ("flat_rate", "one_repair"):
        app = opened(page, sample_shop, monkeypatch)
        assert LAW in texts(app)
        assert "Local codes, licenses" in texts(app)  # caution local_law


def test_the_repair_that_lost_most_is_named_first(sample_shop, monkeypatch):
    app = opened("flat_rate", sample_shop, monkeypatch)
    assert "Most of all **Replace drain pump, clothes washer**" in texts(app)


@pytest.mark.parametrize(
    ("label", "value"),
    [
        ("Labor cost", 150.0),
        ("Target margin", 40),
        ("Jobs finished", 90),
        ("Travel", 120),
        ("Warranty", 365),
    ],
)
def test_each_slider_raises_the_rate_at_once(sample_shop, monkeypatch, label, value):
    app = opened("one_repair", sample_shop, monkeypatch)
    before = proposed(app)
    slider(app, label).set_value(value).run()
    check(app)
    assert proposed(app) > before


def test_untouched_sliders_propose_the_rate_of_the_table(sample_shop, monkeypatch):
    app = opened("one_repair", sample_shop, monkeypatch)
    table = measure(sample_shop, "flat_rate").set_index(["appliance_kind", "repair_code"])
    for key in ("washer/repair_wiring", "range_electric/replace_bake_element"):
        app.selectbox(key="repair").set_value(key).run()
        assert proposed(app) == table.loc[tuple(key.split("/")), "proposed_rate"]


@pytest.mark.parametrize(
    "extreme",
    [
        {"wage_per_hour": 0.0, "overhead_per_technician": 0.0},
        {"target_margin": 0.9, "wage_per_hour": 1000.0, "billable_share": 0.05},
        {"parts_slabs": (), "price_step": 0.0, "warranty_days": 0, "planned_quantile": 0.95},
        {"van_budget": 0.0, "van_slots": 0, "restock_days": 90},
    ],
)
def test_every_page_works_with_settings_at_their_bounds(drawn, monkeypatch, extreme):
    write_settings(drawn, extreme)
    for page in ("flat_rate", "one_repair", "van_stock"):
        check(opened(page, drawn, monkeypatch))


def test_a_slider_changes_no_setting(drawn, monkeypatch):
    app = opened("one_repair", drawn, monkeypatch)
    slider(app, "Target margin").set_value(50).run()
    check(app)
    assert read_settings(drawn)["target_margin"] == 0.15


def test_a_tried_rate_is_shown_with_the_jobs_under_cost(sample_shop, monkeypatch):
    app = opened("one_repair", sample_shop, monkeypatch)
    app.number_input[0].set_value(0.0).run()
    check(app)
    shown = next(m.value for m in app.markdown if "would have been under cost at" in m.value)
    jobs, under = re.search(r"^Of ([\d,]+) jobs.*?, ([\d,]+) would", shown).groups()
    assert jobs == under  # at no charge every job is under cost


def test_another_repair_brings_its_own_travel_and_rate(sample_shop, monkeypatch):
    app = opened("one_repair", sample_shop, monkeypatch)
    before = proposed(app), slider(app, "Travel").value
    app.selectbox(key="repair").set_value("refrigerator/replace_compressor").run()
    check(app)
    assert proposed(app) > before[0]
    assert slider(app, "Travel").value != before[1]


def test_two_kinds_of_job_under_one_code_are_said(sample_shop, monkeypatch):
    app = opened("one_repair", sample_shop, monkeypatch)
    table = measure(sample_shop, "flat_rate")
    row = table[table["is_two_kinds"]].iloc[0]
    app.selectbox(key="repair").set_value(f"{row.appliance_kind}/{row.repair_code}").run()
    assert "Two kinds of job under one code" in texts(app)


def test_terms_put_into_the_form_are_saved_and_change_the_prices(drawn, monkeypatch):
    app = opened("flat_rate", drawn, monkeypatch)
    before = measure(drawn, "flat_rate").iloc[0].proposed_rate
    app.number_input(key="pricing_wage_per_hour").set_value(64.0)
    save = next(button for button in app.button if button.label == "Save these settings")
    save.click().run()
    check(app)
    settings = read_settings(drawn)
    assert settings["wage_per_hour"] == 64
    assert settings["burden_rate"] == 0.25
    assert measure(drawn, "flat_rate").iloc[0].proposed_rate > before


def test_without_part_costs_a_price_cannot_be_said_but_minutes_can(tmp_path, monkeypatch):
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS)
    for page in ("flat_rate", "one_repair"):
        app = opened(page, folder, monkeypatch)
        check(app)
        assert "be said from these records" in texts(app)
    assert "took up to 60 min" in texts(app)


def test_a_larger_budget_covers_more_and_a_smaller_one_than_todays_says_so(
    sample_shop, monkeypatch
):
    app = opened("van_stock", sample_shop, monkeypatch)
    app.number_input[0].set_value(12_000.0).run()
    assert "more jobs a year would be done on the first visit" in texts(app)
    app.number_input[0].set_value(500.0).run()
    check(app)
    assert "Today's vans do better than this limit allows" in texts(app)


def test_slots_can_be_the_limit(sample_shop, monkeypatch):
    app = opened("van_stock", sample_shop, monkeypatch)
    app.segmented_control(key="limit").set_value("slots").run()
    check(app)
    assert "With 120 parts (" in texts(app)
