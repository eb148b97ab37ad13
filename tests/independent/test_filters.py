"""A filter gives what loading only the filtered records gives, wherever that can be said.

It cannot where a measure looks beyond the filter: a return counts against its job whoever went,
from whatever branch, for whatever complaint of the family and however late. So `--to`, technician,
branch and symptom are compared by measures without returns; `--from` also by those of returns, which
lie after their job, but not by habits, which rest on every test ever made; an appliance kind by
all, since a unit is of one kind. A price needs the job that a warranty return came from, which
`--from` drops. The as-of date is the setting: fewer records would have another.
"""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from dashboard.filters import Filters
from etl.load import load
from tests.ask import measure
from tests.independent.generator import Drawn, generate
from tests.independent.test_properties import changed

pytestmark = pytest.mark.slow
AS_OF = {"as_of": "2026-01-31"}
PLAIN = (
    ("repeat_visits", {"group_by": "technician"}),
    ("no_fault_found", {"group_by": "branch"}),
    ("root_cause_mix", {"use_recorded": True}),
)
RETURNS = (
    ("first_time_fix", {"group_by": "technician"}),
    ("callbacks", {"group_by": "branch"}),
    ("callback_curve", {}),
    ("misdiagnosis", {"group_by": "technician"}),
    ("early_parts", {}),
    ("root_cause_mix", {}),
)
WHOLE = (*RETURNS, ("flat_rate", {}), ("meter_check", {}), ("reading_distribution", {}))
OF_RETURNS = {  # what became of a job later
    *("first_time_fix", "mature", "came_back", "return_rate", "return_low", "return_high"),
    *("fault_later", "repaired_mature", "repaired_back", "repaired_rate"),
}
OUTCOMES = ["group", "judged", "wrong", "corrected", "came_back", "rate", "low", "high"]
FROM, TO = date(2024, 9, 1), date(2025, 5, 31)


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    """A small shop with all plants."""
    return generate(7, jobs=600)


@pytest.fixture(scope="module")
def whole(drawn: Drawn, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All of its records."""
    return loaded(drawn, tmp_path_factory.mktemp("whole"))


def loaded(drawn: Drawn, folder: Path) -> Path:
    """Load a shop at the fixed as-of date and return the database folder."""
    load(drawn.write(folder / "in"), folder / "db", settings=AS_OF)
    return folder / "db"


def kept(drawn: Drawn, is_kept: Callable[[dict], bool]) -> Drawn:
    """Return the records of the jobs to keep; a job also has `last`, who came last."""
    last = {row["job_id"]: row["technician"] for row in drawn.tables["visits"] if came(row)}
    ids = {
        row["job_id"]
        for row in drawn.tables["jobs"]
        if is_kept(row | {"last": last.get(row["job_id"])})
    }
    part = changed(drawn)
    part.tables = {
        name: [row for row in rows if row["job_id"] in ids] for name, rows in part.tables.items()
    }
    assert 0 < len(ids) < len(drawn.tables["jobs"])
    return part


def came(visit: dict) -> bool:
    return visit["outcome"] not in ("no_access", "cancelled")


def closed(row: dict) -> date:
    return date.fromisoformat(row["closed_on"] or "2099-01-01")


CASES = {
    "kind": (Filters(appliance_kind=("dishwasher",)), WHOLE, lambda r: r["appliance_kind"] == "dishwasher"),
    "from": (Filters(from_date=FROM), (*PLAIN, *RETURNS), lambda r: closed(r) >= FROM),
    "to": (Filters(to_date=TO), PLAIN, lambda r: closed(r) <= TO),
    "branch": (Filters(branch=("North yard",)), PLAIN, lambda r: r["branch"] == "North yard"),
    "technician": (Filters(technician=("Lenka",)), PLAIN, lambda r: r["last"] == "Lenka"),
    "symptom": (Filters(symptom=("wont_drain",)), PLAIN, lambda r: r["symptom"] == "wont_drain"),
    "several": (
        Filters(FROM, TO, ("North yard",), (), ("dishwasher", "washer")),
        PLAIN,
        lambda r: (
            FROM <= closed(r) <= TO
            and r["branch"] == "North yard"
            and r["appliance_kind"] != "freezer"
        ),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_filtered_records_give_the_filtered_figures(
    name: str, drawn: Drawn, whole: Path, tmp_path: Path
):
    filters, questions, is_kept = CASES[name]
    part = loaded(kept(drawn, is_kept), tmp_path)
    for question, options in questions:
        wanted = measure(part, question, **options)
        found = measure(whole, question, filters, **options)
        assert len(wanted), question
        columns = [name for name in wanted if questions is not PLAIN or name not in OF_RETURNS]
        if question == "misdiagnosis" and name == "from":  # habits rest on tests of all days
            columns = OUTCOMES
        pd.testing.assert_frame_equal(found[columns], wanted[columns], rtol=1e-9, obj=question)
