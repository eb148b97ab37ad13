"""The price list: of the whole shop or marked as filtered, drift of parts, what customers see."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from dashboard.cli.main import main
from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.pricing.approvals import PricesError, approve, read_approvals, undo
from dashboard.pricing.new_approval import approval_of
from dashboard.pricing.parts_drift import drift
from dashboard.pricing.price_list import LAW
from dashboard.pricing.price_list_files import customers_html, list_html, price_list_text
from dashboard.pricing.price_list_sentences import list_words
from dashboard.pricing.read_price_list import next_month, read_price_list
from dashboard.settings.file import write_settings
from tests.ask import measure
from tests.test_pages import check, opened, texts

BRANCH = Filters(branch=("Mill Lane",))


def row_of(made, key: str):
    """Return a row of the list by its key."""
    return next(row for row in made.rows.itertuples() if row.key == key)


def test_the_list_has_the_rates_of_the_measure(sample_shop: Path):
    made = read_price_list(take(sample_shop))
    rates = measure(sample_shop, "flat_rate").set_index(["appliance_kind", "repair_code"])
    assert len(made.rows) == len(rates)
    for row in made.rows.itertuples():
        wanted = rates.loc[(row.appliance_kind, row.repair_code), "proposed_rate"]
        assert row.proposed_rate == pytest.approx(wanted, nan_ok=True)
        assert row.low <= row.proposed_rate + 5 or pd.isna(row.low)


def test_a_filtered_list_says_so_in_its_name_head_and_sheets(sample_shop: Path):
    made = read_price_list(take(sample_shop), BRANCH)
    head, first, *_ = price_list_text(made).splitlines()
    assert head.startswith("FILTERED,currency")
    assert first.startswith("branch Mill Lane,USD,")
    assert "FILTERED" in made.file_name
    for sheet in (list_html(made), customers_html(made)):
        assert "FILTERED (branch Mill Lane)" in sheet
    whole = read_price_list(take(sample_shop))
    assert "FILTERED" not in price_list_text(whole) + list_html(whole) + whole.file_name
    assert "Invented sample shop" in list_html(whole) and "Invented" in customers_html(whole)


def test_the_csv_carries_currency_day_and_what_it_rests_on(sample_copy: Path):
    write_settings(sample_copy, {"warranty_days": 45})
    text = price_list_text(read_price_list(take(sample_copy), None, date(2027, 1, 1)))
    assert text.splitlines()[1].startswith("the whole shop,USD,2027-01-01,")
    assert "warranty_days,45,days" in text
    assert "loaded labour," in text
    assert text.strip().endswith(LAW)


def test_a_filtered_price_cannot_be_approved(sample_copy: Path):
    made = read_price_list(take(sample_copy), BRANCH)
    with pytest.raises(PricesError, match="filtered"):
        approval_of(made, row_of(made, "washer/repair_wiring"))


def test_an_approved_price_is_the_price_now_until_it_is_undone(sample_copy: Path):
    made = read_price_list(take(sample_copy))
    row = row_of(made, "washer/repair_wiring")
    approve(sample_copy, [approval_of(made, row, 290)])
    after = row_of(read_price_list(take(sample_copy)), "washer/repair_wiring")
    assert (after.price_now, after.is_approved) == (290, True)
    undo(sample_copy, ("washer", "repair_wiring", ""))
    back = row_of(read_price_list(take(sample_copy)), "washer/repair_wiring")
    assert (back.price_now, back.is_approved) == (row.median_charged, False)


def test_customers_see_approved_prices_and_neither_cost_nor_margin(sample_copy: Path):
    made = read_price_list(take(sample_copy))
    approve(sample_copy, [approval_of(made, row_of(made, "washer/repair_wiring"), 290)])
    sheet = customers_html(read_price_list(take(sample_copy)))
    assert "$290.00" in sheet
    assert sheet.count("<tr>") == 2  # heads and the one approved
    shown = sheet.split("</head>")[1].lower()
    assert not any(word in shown for word in ("margin", "cost", "decline"))


def test_parts_drift_compares_the_same_part_numbers_and_the_pieces_of_before():
    """By hand: P1 4 pieces at 10 then 12, P2 2 at 30 then 27: (48 + 54) / (40 + 60) = 1.02."""
    rows = [
        ("P1", "2026-01-10", 4, 40), ("P2", "2026-02-10", 2, 60), ("P3", "2026-02-11", 1, 100),
        ("P1", "2026-05-10", 1, 12), ("P2", "2026-05-11", 3, 81), ("P4", "2026-05-12", 1, 500),
        ("P1", "2024-05-10", 9, 900),
    ]  # fmt: skip
    costs = pd.DataFrame(rows, columns=["part_no", "closed_on", "pieces", "cost"])
    costs["closed_on"] = pd.to_datetime(costs["closed_on"])
    found = drift(costs, date(2026, 3, 1))
    assert found.share == pytest.approx(0.02)
    assert (found.compared, found.parts) == (pytest.approx(0.5), 2)
    assert drift(costs[costs["part_no"] == "P3"], date(2026, 3, 1)) is None


def test_parts_that_became_dearer_since_the_approval_are_named(sample_copy: Path):
    made = read_price_list(take(sample_copy))
    row = row_of(made, "washer/replace_drain_pump_washer")
    step = approval_of(made, row, 400).model_copy(update={"records_through": date(2026, 2, 1)})
    approve(sample_copy, [step])
    after = read_price_list(take(sample_copy))
    moved = after.rows.assign(drift=after.rows["drift"].where(after.rows["drift"].isna(), 0.08))
    assert moved["drift"].notna().sum() == 1  # pumps were bought before and since
    assert "clothes washer**: its parts are 8% dearer" in list_words(replace(after, rows=moved))


def test_the_next_month_begins_a_price_list():
    assert next_month(date(2026, 10, 31)) == date(2026, 11, 1)
    assert next_month(date(2026, 12, 5)) == date(2027, 1, 1)


def test_the_page_is_of_the_whole_shop_whatever_is_filtered(sample_shop, monkeypatch):
    app = opened("price_list", sample_shop, monkeypatch, branch="Mill Lane")
    check(app)
    assert "of the whole shop" in texts(app)
    assert "FILTERED" not in texts(app)
    app.segmented_control(key="scope").set_value("filtered jobs only").run()
    check(app)
    assert "FILTERED: branch Mill Lane" in texts(app)


def test_the_command_writes_sheets_and_names_what_is_filtered(sample_shop, tmp_path, capsys):
    out = tmp_path / "prices.html"
    assert main(["prices", "--db", str(sample_shop), "--out", str(out)]) == 0
    assert "the whole shop" in out.read_text(encoding="utf-8")
    assert main(["prices", "--db", str(sample_shop), "--where", "branch=Mill Lane"]) == 0
    assert "FILTERED (branch Mill Lane)" in capsys.readouterr().out
    assert main(["prices", "--db", str(sample_shop), "--out", str(tmp_path / "p.txt")]) == 1


def test_the_page_approves_a_price_and_takes_it_back(sample_copy, monkeypatch):
    app = opened("price_list", sample_copy, monkeypatch)
    app.session_state["opened_price"] = "refrigerator/replace_defrost_heater"
    app.run()
    check(app)
    assert "of the customers may decline" in texts(app) or "is a cut" in texts(app)
    app.number_input[0].set_value(501.0)
    next(each for each in app.button if each.label == "Approve this price").click().run()
    check(app)
    key = ("refrigerator", "replace_defrost_heater", "")
    assert read_approvals(sample_copy).current[key].price == 501
    assert "1 price approved" in texts(app)
    next(each for each in app.button if each.label == "Undo the last approval").click().run()
    check(app)
    assert read_approvals(sample_copy).current == {}
