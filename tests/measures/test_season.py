"""Season: whole months only, calls counted by hand, and "cannot be said" under two years."""

import random
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.cli.main import main
from dashboard.fairness.season import season, whole_months
from dashboard.filters import Filters
from tests.ask import measure, run
from tests.shop_builder import shop
from tests.test_pages import check, opened, texts


def rows(begins: str, ends: str, calls: dict[tuple[str, str], int]) -> pd.DataFrame:
    """Return rows as the SQL gives them, of one appliance."""
    return pd.DataFrame(
        [
            (
                "freezer",
                symptom,
                month,
                pd.Timestamp(begins),
                pd.Timestamp(ends),
                count,
                count,
                count * 90.0,
            )
            for (symptom, month), count in calls.items()
        ],
        columns=[
            "appliance_kind",
            "symptom",
            "opened_month",
            "begins_on",
            "ends_on",
            "calls",
            "timed",
            "minutes",
        ],
    )


def months(first: int, count: int) -> list[str]:
    """Return so many months from one of 2024 on."""
    return [f"{2024 + n // 12}-{n % 12 + 1:02d}" for n in range(first - 1, first - 1 + count)]


@pytest.mark.parametrize(
    ("begins", "ends", "wanted"),
    [
        ("2026-01-01", "2026-03-31", ["2026-01", "2026-02", "2026-03"]),
        ("2026-01-02", "2026-03-30", ["2026-01", "2026-02"]),  # a first day that is a holiday
        ("2026-01-09", "2026-02-28", ["2026-02"]),
        ("2026-01-09", "2026-01-20", []),
        ("2025-12-01", "2026-01-31", ["2025-12", "2026-01"]),
    ],
)
def test_only_whole_months_count(begins: str, ends: str, wanted: list[str]):
    assert whole_months(begins, ends) == wanted


def test_whole_years_back_from_the_last_month_are_counted():
    calls = {("warm", month): 10 for month in months(4, 26)} | {("warm", "2025-07"): 40}
    table = season(rows("2024-04-01", "2026-05-31", calls))
    july = table[(table["symptom"] == "warm") & (table["month"] == 7)].iloc[0]
    assert (july.first_month, july.last_month, july.months) == ("2024-06", "2026-05", 24)
    assert july.calls == 10 + 40
    assert july["index"] == pytest.approx(12 * 50 / 270)
    assert july.expected_hours == pytest.approx(july.expected_calls * 1.5)
    assert july.expected_calls == pytest.approx(july["index"] * (11 * 10 + 40) / 12)


def test_under_two_years_it_cannot_be_said_and_the_calls_are_there():
    table = season(rows("2024-01-01", "2025-11-30", {("warm", m): 9 for m in months(1, 23)}))
    assert table["index"].isna().all() and table["p_value"].isna().all()
    assert not table["seasonal"].any()
    own = table[table["symptom"] == "warm"].set_index("month")
    assert own.loc[1, ["calls", "times"]].tolist() == [18, 2]
    assert own.loc[12, ["calls", "times"]].tolist() == [9, 1]


def test_a_planted_season_is_found_and_an_even_complaint_is_not():
    generator = random.Random(3)
    calls = {}
    for month in months(1, 36):
        is_summer = month[5:] in ("06", "07", "08")
        calls["warm", month] = generator.randint(25, 35) if is_summer else generator.randint(6, 12)
        calls["noisy", month] = generator.randint(8, 14)
    table = season(rows("2024-01-01", "2026-12-31", calls))
    assert set(table.loc[table["seasonal"], "symptom"]) == {"warm"}


def test_the_calls_of_a_loaded_shop_are_those_of_the_records(tmp_path: Path):
    """The twin: jobs counted in Python by the month of opening, open and canceled ones in."""
    generator, wanted = random.Random(4), {}
    lines = ["job_id|opened_on|closed_on|appliance_kind|symptom|disposition"]
    for n in range(300):
        opened_on = date(2024, 1, 1) + timedelta(days=generator.randrange(820))
        kind = generator.choice(["freezer", "washer"])
        ends = generator.choice(["repaired", "open", "cancelled", "declined"])
        closed = "" if ends == "open" else opened_on + timedelta(days=1)
        lines.append(f"J{n}|{opened_on}|{closed}|{kind}|leaks|{ends}")
        wanted[kind, opened_on] = wanted.get((kind, opened_on), 0) + 1
    lines.append("first|2024-01-01|2024-01-01|oven|leaks|repaired")
    lines.append("last|2026-03-31|2026-03-31|oven|leaks|repaired")
    folder = shop(tmp_path, jobs="\n".join(lines))
    table = measure(folder, "season")
    one = table[(table["appliance_kind"] == "freezer") & (table["symptom"] != "all")]
    for month in range(1, 13):
        inside = [
            count
            for (kind, day), count in wanted.items()
            if kind == "freezer"
            and day.month == month
            and date(2024, 4, 1) <= day <= date(2026, 3, 31)
        ]
        assert one.set_index("month").loc[month, "calls"] == sum(inside)
    jobs = run(
        folder, "pages/season_jobs", Filters(), kind="freezer", first_month="2024-04",
        last_month="2026-03", calendar_month="07",
    )  # fmt: skip
    assert len(jobs) == one.set_index("month").loc[7, "calls"]


def test_the_sample_shop_is_too_young_for_a_season_and_says_so(sample_shop, monkeypatch):
    app = opened("season", sample_shop, monkeypatch)
    check(app)
    assert "These records cannot show a season yet:** they hold 18 whole months" in texts(app)


def test_the_command_prints_every_list(sample_shop: Path, tmp_path: Path, capsys):
    for name in ("parts_credit", "profit_per_hour", "season", "no_fault_found"):
        out = tmp_path / f"{name}.html"
        call = ["print", name, "--db", str(sample_shop), "--out", str(out)]
        assert main([*call, "--where", "branch=Mill Lane"]) == 0
        assert "FILTERED: branch Mill Lane" in out.read_text(encoding="utf-8")
        assert main(call) == 0
        assert "FILTERED" not in out.read_text(encoding="utf-8")
    wrong = ["print", "season", "--by", "brand", "--db", str(sample_shop), "--out", str(out)]
    assert main(wrong) == 1
    assert "--by brand" in capsys.readouterr().err
