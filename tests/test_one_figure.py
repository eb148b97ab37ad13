"""One figure everywhere: what several pages, papers and commands show is the same text on each."""

import json
from datetime import date
from pathlib import Path

import pytest

from dashboard.callbacks.sentences import came_back, jobs_of_the_month
from dashboard.card.load import card_of
from dashboard.cli.main import main
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot, take
from dashboard.diagnosis.mix_up_sentences import not_among_mix_ups
from dashboard.diagnosis.no_fault_sentences import return_words
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.month.load import month_html, month_review
from dashboard.pricing.read_price_list import read_price_list
from dashboard.recording.load import what_first
from dashboard.sheet.figures import Subject
from dashboard.sheet.load import complaint_sheet
from dashboard.text import format as words
from dashboard.views.first_time_fix import answer, not_counted

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


@pytest.mark.parametrize("branch", [(), ("Mill Lane",)])
def test_who_is_not_counted_adds_up_and_is_the_same_under_details(snapshot: Snapshot, branch):
    filters = Filters(branch=branch)
    fixes = measure(snapshot, "first_time_fix", filters).iloc[0]
    reasons = run(snapshot, "pages/exclusions", filters).set_index("reason")["jobs"]
    pending, no_visits, unknown = (
        int(reasons[reasons.index.str.contains(name)].sum())
        for name in ("too recently", "visits not recorded", "appliance not known")
    )
    said = not_counted(fixes)
    assert f"{pending:,} jobs closed too recently, {no_visits:,} without recorded visits" in said
    assert f"{unknown:,} more on an unknown appliance" in said
    assert pending + no_visits + unknown + fixes.mature == fixes.repaired


def test_callbacks_are_the_same_where_no_fault_found_is_compared_with_them(snapshot: Snapshot):
    back = measure(snapshot, "callbacks").iloc[0]
    compared = return_words(measure(snapshot, "no_fault_found").iloc[0], snapshot.window_days)
    rate = words.percent(back.rate)
    assert f"{rate} ({back.callbacks_in_window:,} of {back.mature:,})" in compared
    assert f"{back.callbacks_in_window:,} of {back.mature:,} jobs" in came_back(back, 30)


def test_a_technicians_card_its_paper_and_its_command_say_the_figures_of_the_pages(
    snapshot: Snapshot, capsys, tmp_path: Path
):
    """First-time fix, every pattern to talk about, and what to write down first."""
    fixes = measure(snapshot, "first_time_fix", YEAR).iloc[0]
    rate = words.percent(fixes.rate, low=fixes.low, high=fixes.high)
    count = f"{fixes.fixed_first_time:,} of {fixes.mature:,} jobs, {rate} ("
    assert count in answer(fixes, snapshot.window_days)
    figures = [count, what_first(snapshot, YEAR)]
    card = card_of(snapshot, "Brenwick", YEAR)
    assert "Wrong diagnosis" in {each.name for each in card.patterns}
    for each in card.patterns:
        row = measure(snapshot, "misdiagnosis", YEAR, pattern=each.pattern).iloc[0]
        figures.append(f"{each.name}: {row.with_pattern:,} of {row.asked:,} jobs")
    call = ["card", "Brenwick", "--db", str(snapshot.folder)]
    call += ["--from", f"{YEAR.from_date}", "--to", f"{YEAR.to_date}"]
    out = tmp_path / "card.html"
    said(capsys, *call, "--out", str(out))
    for text in (said(capsys, *call), out.read_text(encoding="utf-8")):
        assert [each for each in figures if each not in text] == []


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


@pytest.mark.parametrize("month", MONTHS)
def test_jobs_with_a_return_trip_and_the_reasons_of_the_month_are_reconciled(
    snapshot: Snapshot, month: str
):
    """85 jobs waited for a part in March 2026; the month has 69: one reason a job, repairs only."""
    first, last = MONTHS[month]
    of_month = Filters(from_date=first, to_date=last)
    trips = measure(snapshot, "repeat_visits", of_month).set_index("reason")["jobs"]
    split = run(snapshot, "pages/trip_reasons", of_month).set_index("reason")
    assert split["jobs"].to_dict() == trips.to_dict()
    parts = split[["in_month", "other_reason", "not_counted"]]
    assert parts.sum(axis=1).to_dict() == trips.to_dict()
    reasons = measure(snapshot, "month_reasons", month=month).set_index("group")["not_fixed"]
    for reason in set(split.index) - {"misdiagnosed"}:  # the month's also holds callbacks
        assert split.loc[reason, "in_month"] == reasons[reason], reason
    row = split.reset_index().assign(label="A part was missing").iloc[0]
    assert f"{row.jobs:,} jobs here" in jobs_of_the_month(row)
    assert f"{row.in_month:,} of them have this one" in jobs_of_the_month(row)


def said(capsys: pytest.CaptureFixture[str], *call: str) -> str:
    """Return what a command writes."""
    assert main(list(call)) == 0
    return capsys.readouterr().out


def test_commands_say_the_figures_of_the_pages(snapshot: Snapshot, capsys, tmp_path: Path):
    """First-time fix, callbacks, the list of prices, no fault found, what is missing."""
    db = ["--db", str(snapshot.folder)]
    (row,) = json.loads(said(capsys, "measure", "first_time_fix", *db, "--format", "json"))
    page = answer(measure(snapshot, "first_time_fix").iloc[0], snapshot.window_days)
    assert f"{row['fixed_first_time']:,} of {row['mature']:,} jobs" in page
    assert words.percent(row["rate"], low=row["low"], high=row["high"]) in page
    (row,) = json.loads(said(capsys, "measure", "callbacks", *db, "--format", "json"))
    page = came_back(measure(snapshot, "callbacks").iloc[0], snapshot.window_days)
    assert f"{row['callbacks_in_window']:,} of {row['mature']:,} jobs" in page
    listed = read_price_list(snapshot, Filters()).rows
    text = said(capsys, "prices", *db)
    for price in listed.loc[listed["side"] == "", "proposed_rate"].dropna():
        assert words.money(price, "USD") in text
    out = tmp_path / "no_fault.html"
    said(capsys, "print", "no_fault_found", *db, "--out", str(out))
    found = measure(snapshot, "no_fault_found").iloc[0]
    assert f"{found.no_fault:,} of {found.jobs:,} jobs" in out.read_text(encoding="utf-8")
    missing = what_first(snapshot, None)
    assert missing.split(".")[0] in said(capsys, "recording", *db)
