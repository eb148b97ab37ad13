"""The month: its finding, its figures, and one number for one thing on pages, paper, command."""

import re
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from dashboard.cli.main import main
from dashboard.database.snapshot import take
from dashboard.fairness.sentences import month_verdict
from dashboard.filters import Filters
from dashboard.month.actions import MOST_ACTIONS, Action, ranked
from dashboard.month.compare import compared, verdict
from dashboard.month.load import month_review, records_of
from dashboard.month.periods import month_days
from dashboard.month.review import MonthReview, review
from dashboard.text import format as words
from tests.ask import measure, run

MARCH = "2026-03"


@pytest.fixture(scope="module")
def march(sample_shop: Path) -> MonthReview:
    """The planted bad month."""
    return month_review(take(sample_shop), MARCH)


def _figures(found: MonthReview) -> dict:
    return {figure.name: figure for figure in found.figures}


def test_the_headline_says_the_finding_and_its_reason(march: MonthReview, sample_shop: Path):
    signals = measure(sample_shop, "month_signals").set_index("month").loc[MARCH]
    reasons = march.views["reason"].set_index("group")
    parts = reasons.loc["part_needed"]
    assert march.headline.startswith(
        f"March 2026: {words.percent(signals.rate)} fixed first time, well below the usual "
        f"{words.percent(signals.centre)}. Why: {parts.not_fixed} jobs waited for a part that was "
        f"not on the van ({round(parts.expected)} is normal)"
    )


def test_an_ordinary_month_says_that_it_is_normal(sample_shop: Path):
    found = month_review(take(sample_shop), "2026-02")
    assert "within the normal range of" in found.headline
    assert "Why" not in found.headline


def test_a_month_that_is_too_young_says_so(sample_shop: Path):
    jobs = measure(sample_shop, "month_signals").iloc[-1]
    found = month_review(take(sample_shop), jobs.month)
    assert (jobs.mature < 20) == ("too few to say much" in found.headline)


def test_what_to_do_first_is_what_departs_most(march: MonthReview):
    """The month's cause was parts: it comes before what costs more in every month."""
    first = march.actions[0]
    assert first.key == "reason part_needed"
    assert first.rank == 0
    assert len(march.actions) <= MOST_ACTIONS
    assert [a.rank for a in march.actions] == sorted(a.rank for a in march.actions)


def test_each_action_has_all_of_its_jobs(march: MonthReview, sample_shop: Path):
    reasons = march.views["reason"].set_index("group")["not_fixed"]
    prices = measure(sample_shop, "flat_rate").set_index(["repair_code", "appliance_kind"])
    for action in march.actions:
        kind, *rest = action.key.split(" ")
        if kind == "reason":
            assert len(set(action.jobs)) == reasons[rest[0]]
        if kind == "price":
            assert len(set(action.jobs)) == prices.loc[tuple(rest), "jobs"]


def test_the_finding_does_not_wait_for_the_prices(sample_shop: Path):
    records = records_of(take(sample_shop))
    asked = []

    def noted(name: str, *arguments, **parameters) -> pd.DataFrame:
        asked.append(name)
        return records.measure(name, *arguments, **parameters)

    found = review(MARCH, replace(records, measure=noted), Filters())
    assert found.headline and found.figures
    assert "flat_rate" not in asked
    assert found.actions is found.actions
    assert asked.count("flat_rate") == 1


def _action(key: str, rank: int, worth: float) -> Action:
    return Action(key, key, "", rank, worth, ())


def test_actions_are_ranked_by_departure_then_by_money_and_marked_when_seen_before():
    now = [_action("dear", 2, 900), _action("odd", 0, 10), _action("look", 1, 50)]
    found = ranked(now, [_action("dear", 2, 800)])
    assert [(a.key, a.is_again) for a in found] == [("odd", False), ("look", False), ("dear", True)]


def test_the_first_month_repeats_nothing(sample_shop: Path):
    found = month_review(take(sample_shop), "2025-05")
    assert found.actions
    assert not any(action.is_again for action in found.actions)


@pytest.mark.parametrize("month", ["2025-09", MARCH, "2026-08"])
def test_a_figure_of_the_month_is_that_of_its_own_page(sample_shop: Path, month: str):
    """First-time fix, Callbacks, Flat rates and Return trips under the month's dates."""
    found = month_review(take(sample_shop), month)
    cards, (first, last) = _figures(found), month_days(month)
    dates = Filters(from_date=first, to_date=last)
    fix = measure(sample_shop, "first_time_fix", dates).iloc[0]
    assert cards["First-time fix"].value == fix.rate
    assert cards["First-time fix"].basis == f"{fix.fixed_first_time} of {fix.mature} jobs"
    back = measure(sample_shop, "callbacks", dates).iloc[0]
    assert cards["Callbacks"].value == back.rate
    assert cards["Callbacks"].basis == f"{back.callbacks_in_window} of {back.mature} jobs"
    total = measure(sample_shop, "month_review", dates).iloc[0]
    jobs = run(sample_shop, "pages/month_jobs", dates)
    assert cards["Jobs closed"].value == total.closed == len(jobs)
    assert cards["Revenue"].value == total.revenue == pytest.approx(jobs["charged"].sum())
    assert cards["Minutes per job"].value == jobs["labour_min"].median()


@pytest.mark.parametrize("month", ["2025-09", MARCH, "2026-08"])
def test_one_month_has_one_verdict(sample_shop: Path, month: str):
    """Card, headline and chart of months have the same limits."""
    found = month_review(take(sample_shop), month)
    fix = _figures(found)["First-time fix"]
    row = measure(sample_shop, "month_signals").set_index("month").loc[month]
    assert (fix.usual, fix.low, fix.high) == (row.centre, row.lower_3s, row.upper_3s)
    is_outside = "well outside normal" in month_verdict(row)
    assert (fix.verdict != "within normal range") == is_outside
    assert ("well" in found.headline) == is_outside


def test_the_loss_on_a_repair_is_that_of_flat_rates_on_page_and_paper(sample_shop: Path):
    prices = measure(sample_shop, "flat_rate").set_index(["repair_code", "appliance_kind"])
    seen = 0
    for month in ("2025-05", "2026-08", MARCH):
        for action in month_review(take(sample_shop), month).actions:
            if action.key.startswith("price "):
                row = prices.loc[tuple(action.key.split(" ")[1:])]
                assert words.money(-row.result_now, "USD") in action.reason
                seen += 1
    assert seen


def test_jobs_closed_and_jobs_counted_are_reconciled(sample_shop: Path):
    """What is not counted, and why, adds up from the jobs closed to those of the rate."""
    found = month_review(take(sample_shop), MARCH)
    closed, counted, *left = (int(n) for n in re.findall(r"\d+", _before_callbacks(found.counted)))
    assert closed == _figures(found)["Jobs closed"].value
    assert counted + sum(left) == closed
    more = int(re.search(r"counts (\d+) with", found.counted)[1])
    back = measure(sample_shop, "callbacks", group_by="month").set_index("group").loc[MARCH]
    assert back.mature == counted + more


def _before_callbacks(text: str) -> str:
    return text.split(" Callbacks also")[0].replace("less than 30 days", "lately")


def test_the_command_prints_the_numbers_of_the_page(
    sample_shop: Path, march: MonthReview, capsys: pytest.CaptureFixture
):
    name = "month_signals"
    assert main(["measure", name, "--format", "csv", "--db", str(sample_shop)]) == 0
    lines = capsys.readouterr().out.splitlines()
    titles = lines[0].split(",")
    (row,) = (dict(zip(titles, line.split(","), strict=True)) for line in lines if MARCH in line)
    fix = _figures(march)["First-time fix"]
    assert float(row["rate"]) == pytest.approx(fix.value)
    assert float(row["lower_3s"]) == pytest.approx(fix.low)


def test_two_periods_are_compared_by_the_same_measures(sample_shop: Path):
    records = records_of(take(sample_shop))
    rows = compared(month_days(MARCH), month_days("2026-02"), records, Filters())
    found = {row.name: row for row in rows}
    assert found["First-time fix"].verdict == "yes, lower"
    now = measure(sample_shop, "first_time_fix", Filters(*month_days(MARCH))).iloc[0]
    assert found["First-time fix"].first.startswith(f"{now.fixed_first_time} of {now.mature} jobs")
    same = compared(month_days(MARCH), month_days(MARCH), records, Filters())
    assert {row.verdict for row in same} <= {"no, within chance", "no test applies"}
    assert all(row.first == row.second for row in same)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0.01, 0.1, "yes, higher"),
        (-0.2, -0.01, "yes, lower"),
        (-0.1, 0.1, "no, within chance"),
        (float("nan"), 0.1, "cannot be said from these records"),
    ],
)
def test_only_an_interval_without_zero_is_a_real_change(low, high, expected):
    assert verdict(low, high) == expected


def test_filters_narrow_the_split_too(sample_shop: Path):
    chosen = Filters(appliance_kind=("refrigerator",))
    found = month_review(take(sample_shop), MARCH, chosen)
    dates = replace(chosen, from_date=month_days(MARCH)[0], to_date=month_days(MARCH)[1])
    fix = measure(sample_shop, "first_time_fix", dates).iloc[0]
    assert found.views["reason"]["not_fixed"].sum() == fix.mature - fix.fixed_first_time
    assert len(found.jobs) == fix.mature - fix.fixed_first_time


def test_every_split_has_the_jobs_that_it_counts(march: MonthReview):
    for view, table in march.views.items():
        counts = march.jobs[view].value_counts()
        rows = table[~table["is_mix"].astype(bool) & (table["not_fixed"] > 0)]
        assert rows.set_index("group")["not_fixed"].to_dict() == counts.to_dict(), view
        assert pd.notna(rows["label"]).all()
