"""One figure everywhere: what several pages, papers and commands show is the same text on each."""

from datetime import date
from pathlib import Path

import pytest

from dashboard.callbacks.sentences import came_back
from dashboard.card.load import card_of
from dashboard.database.snapshot import Snapshot, take
from dashboard.diagnosis.mix_up_sentences import not_among_mix_ups
from dashboard.diagnosis.no_fault_sentences import return_words
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.month.load import month_html, month_review
from dashboard.pricing.read_price_list import read_price_list
from dashboard.sheet.figures import Subject
from dashboard.sheet.load import complaint_sheet
from dashboard.text import format as words
from dashboard.views.first_time_fix import answer

MONTHS = {"2026-03": (date(2026, 3, 1), date(2026, 3, 31)),
          "2026-08": (date(2026, 8, 1), date(2026, 8, 31))}  # fmt: skip
YEAR = Filters(from_date=date(2025, 10, 31), to_date=date(2026, 10, 31), technician=("Brenwick",))


@pytest.fixture
def snapshot(sample_shop: Path) -> Snapshot:
    return take(sample_shop)


@pytest.mark.parametrize("month", MONTHS)
def test_the_month_its_paper_and_the_pages_of_the_rates_agree(snapshot: Snapshot, month: str):
    first, last = MONTHS[month]
    of_month = Filters(from_date=first, to_date=last)
    shown = {each.name: each.shown for each in month_review(snapshot, month).figures}
    fixes = measure(snapshot, "first_time_fix", of_month).iloc[0]
    back = measure(snapshot, "callbacks", of_month).iloc[0]
    assert f" {shown['First-time fix']} (" in answer(fixes, snapshot.window_days)
    assert f" {shown['Callbacks']} (" in came_back(back, snapshot.window_days)
    paper = month_html(snapshot, month)
    assert f"<b>{shown['First-time fix']}</b>" in paper
    assert f"<b>{shown['Callbacks']}</b>" in paper


def test_callbacks_are_the_same_where_no_fault_found_is_compared_with_them(snapshot: Snapshot):
    back = measure(snapshot, "callbacks").iloc[0]
    compared = return_words(measure(snapshot, "no_fault_found").iloc[0], snapshot.window_days)
    rate = words.percent(back.rate)
    assert f"{rate} ({back.callbacks_in_window:,} of {back.mature:,})" in compared
    assert f"{back.callbacks_in_window:,} of {back.mature:,} jobs" in came_back(back, 30)


def test_a_technicians_card_and_the_pages_of_that_technician_agree(snapshot: Snapshot):
    card = card_of(snapshot, "Brenwick", YEAR)
    fixes = measure(snapshot, "first_time_fix", YEAR).iloc[0]
    count = f"{fixes.fixed_first_time:,} of {fixes.mature:,} jobs"
    rate = words.percent(fixes.rate, low=fixes.low, high=fixes.high)
    for text in (card.first_time_fix, answer(fixes, snapshot.window_days)):
        assert f"{count}, {rate} (" in text
    wrong = measure(snapshot, "misdiagnosis", YEAR).iloc[0]
    (said,) = [each.finding for each in card.patterns if each.name == "Wrong diagnosis"]
    assert f"{wrong.wrong:,} of {wrong.judged:,} jobs" in said


def test_mix_ups_and_misdiagnosis_are_reconciled(snapshot: Snapshot):
    pairs, judged = measure(snapshot, "mix_ups"), measure(snapshot, "misdiagnosis")
    left_out = int(judged["judged"].iloc[0]) - int(pairs["jobs"].sum())
    assert left_out > 0
    assert f"judges {left_out:,} more" in not_among_mix_ups(pairs, judged)


def test_a_repair_has_one_price_on_every_page(snapshot: Snapshot):
    """Flat rates, the price list, the complaint sheet and the month's proposals."""
    rates = measure(snapshot, "flat_rate").set_index(["repair_code", "appliance_kind"])
    listed = read_price_list(snapshot, Filters()).rows
    listed = listed[listed["side"] == ""].set_index(["repair_code", "appliance_kind"])
    for key, row in listed.iterrows():
        price = words.money(row["proposed_rate"], "USD")
        assert price == words.money(rates.loc[key, "proposed_rate"], "USD"), key
    sheet = complaint_sheet(snapshot, Subject("washer", "wont_drain", None, None))
    (line,) = [each for each in sheet.plan if each.startswith("Replace drain pump")]
    pump = rates.loc[("replace_drain_pump_washer", "washer")]
    assert f"flat rate {words.money(pump.proposed_rate, 'USD')}" in line
    actions = month_review(snapshot, "2026-09").actions
    (reprice,) = [each for each in actions if "Replace drain pump, clothes washer" in each.title]
    assert words.money(pump.proposed_rate, "USD") in reprice.reason
