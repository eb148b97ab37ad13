"""What may change no figure: names, order of rows, split loads, a year's shift; and a shop doubled."""

import copy
import random
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from etl.load import load
from tests.ask import measure
from tests.independent.generator import Drawn, generate
from tests.independent.invented_shop import TECHNICIANS

pytestmark = pytest.mark.slow
QUESTIONS = (
    ("first_time_fix", {"group_by": "technician"}),
    ("callbacks", {}),
    ("repeat_visits", {}),
    ("root_cause_mix", {}),
    ("misdiagnosis", {"group_by": "technician"}),
    ("early_parts", {}),
    ("meter_check", {}),
    ("flat_rate", {}),
)
COUNTS = {
    "callbacks": ["repaired", "mature", "callbacks_in_window", "pending", "unlinked"],
    "repeat_visits": ["visits", "jobs"],
    "root_cause_mix": ["jobs", "mature"],
}


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    """A small shop with all plants."""
    return generate(4, jobs=400)


@pytest.fixture(scope="module")
def answers(drawn: Drawn, tmp_path_factory: pytest.TempPathFactory) -> dict[str, pd.DataFrame]:
    """Every question answered from the rows as drawn."""
    found = asked(changed(drawn), tmp_path_factory.mktemp("as_drawn"))
    assert all(len(table) for table in found.values())
    return found


def changed(drawn: Drawn) -> Drawn:
    """Return a copy whose rows may be changed."""
    other = copy.copy(drawn)
    other.tables = copy.deepcopy(drawn.tables)
    return other


def asked(drawn: Drawn, folder: Path) -> dict[str, pd.DataFrame]:
    """Load a shop and answer every question."""
    load(drawn.write(folder / "in"), folder / "db")
    return answered(folder / "db")


def answered(folder: Path) -> dict[str, pd.DataFrame]:
    """Answer every question."""
    return {name: measure(folder, name, **options) for name, options in QUESTIONS}


def hold_equal(found: dict[str, pd.DataFrame], wanted: dict[str, pd.DataFrame]) -> None:
    """Compare every table; sums of fractions may differ in the last digits."""
    for name, table in wanted.items():
        pd.testing.assert_frame_equal(found[name], table, rtol=1e-9, obj=name)


def test_the_order_of_rows_changes_nothing(drawn: Drawn, answers: dict, tmp_path: Path):
    other = changed(drawn)
    for rows in other.tables.values():
        random.Random(1).shuffle(rows)
    hold_equal(asked(other, tmp_path), answers)


def test_a_load_in_two_halves_changes_nothing(drawn: Drawn, answers: dict, tmp_path: Path):
    for half in (0, 1):
        part = changed(drawn)
        for name, rows in part.tables.items():
            part.tables[name] = [row for row in rows if int(row["job_id"]) % 2 == half]
        load(part.write(tmp_path / f"half_{half}"), tmp_path / "db")
    hold_equal(answered(tmp_path / "db"), answers)


def test_other_names_of_technicians_change_the_names_only(
    drawn: Drawn, answers: dict, tmp_path: Path
):
    """The new names sort as the old ones do, so that the rows keep their order."""
    new = {name: f"T{place} {name[::-1]}" for place, name in enumerate(sorted(TECHNICIANS))}
    other = changed(drawn)
    for row in other.tables["visits"]:
        row["technician"] = new[row["technician"]]
    wanted = {
        name: table.replace({column: new for column in ("group", "technician") if column in table})
        for name, table in answers.items()
    }
    hold_equal(asked(other, tmp_path), wanted)


def test_all_dates_a_year_later_change_nothing_but_the_dates(
    drawn: Drawn, answers: dict, tmp_path: Path
):
    other = changed(drawn)
    for row in other.tables["jobs"]:
        for name in ("opened_on", "closed_on"):
            row[name] = a_year_later(row[name]) if row[name] else ""
    for row in other.tables["visits"]:
        row["arrived_at"] = a_year_later(row["arrived_at"][:10]) + row["arrived_at"][10:]
    hold_equal(asked(other, tmp_path), answers)


def a_year_later(day: str) -> str:
    """Return the day 365 days later."""
    return (date.fromisoformat(day) + timedelta(days=365)).isoformat()


def test_a_shop_doubled_under_new_appliances_has_every_count_twice(
    drawn: Drawn, answers: dict, tmp_path: Path
):
    other, shift = changed(drawn), len(drawn.tables["jobs"])
    for name, rows in drawn.tables.items():
        for row in rows:
            twin = row | {"job_id": str(int(row["job_id"]) + shift)}
            if name == "jobs" and row["customer"]:
                twin["customer"] = f"{row['customer']} bis"
            other.tables[name].append(twin)
    found = asked(other, tmp_path)
    for name, columns in COUNTS.items():
        pd.testing.assert_frame_equal(found[name][columns], answers[name][columns] * 2, obj=name)
    for name in ("first_time_fix", "misdiagnosis", "callbacks"):
        pd.testing.assert_series_equal(found[name]["rate"], answers[name]["rate"], rtol=1e-9)
        assert (found[name]["high"] - found[name]["low"]).sum() < (
            answers[name]["high"] - answers[name]["low"]
        ).sum()
