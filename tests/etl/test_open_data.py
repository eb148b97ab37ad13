"""Records from outside the project: two files of the Open Repair Data Standard (see open_data/)."""

import csv
from collections import Counter
from pathlib import Path

import pytest

from etl.load import load
from etl.load_report import Account
from tests.ask import measure, run
from tests.test_pages import opened, texts


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> tuple[Account, Path]:
    """Both files in a database."""
    folder = tmp_path_factory.mktemp("ords")
    source = Path(__file__).parent.parent / "open_data"
    return load(sorted(source.glob("*.csv")), folder / "db"), folder / "db"


def rows_of(name: str) -> list[dict[str, str]]:
    """Read a file with nothing but the standard library."""
    path = Path(__file__).parent.parent / "open_data" / name
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_all_rows_are_accounted_for(loaded):
    account, _ = loaded
    for file in account.files:
        assert file.read == len(rows_of(file.file)) == file.loaded
        assert file.mapping == "ords"


def test_status_becomes_disposition(loaded):
    _, folder = loaded
    rows = rows_of("ords_toronto_202507.csv") + rows_of("ords_connects_202507.csv")
    statuses = Counter(row["repair_status"] for row in rows)
    found = run(folder, "pages/dispositions").set_index("disposition")["jobs"]
    assert found["repaired"] == statuses["Fixed"]
    assert found["beyond_repair"] == statuses["End of life"]
    assert found["referred"] == statuses["Repairable"]
    assert found["open"] == statuses["Unknown"]


def test_each_category_is_a_kind_of_its_own(loaded):
    _, folder = loaded
    rows = rows_of("ords_connects_202507.csv") + rows_of("ords_toronto_202507.csv")
    closed = {r["product_category"] for r in rows if r["repair_status"] != "Unknown"}
    kinds = run(folder, "pages/choices").query("filter == 'appliance_kind'")["value"]
    assert len(kinds) == len(closed)
    assert "coffee_maker" in set(kinds)


def test_what_such_a_source_cannot_support_is_said_not_invented(loaded):
    _, folder = loaded
    support = run(folder, "pages/support").set_index("question")["verdict"]
    assert (support == "cannot be said from these records").all()
    row = measure(folder, "first_time_fix", window_days=30).iloc[0]
    assert row.mature == 0
    assert row.isna()["rate"]
    assert row.left_out == row.repaired
    assert measure(folder, "callback_curve").empty
    assert measure(folder, "reading_distribution").empty


def test_shares_of_each_category_agree_with_a_count_of_the_files(loaded):
    _, folder = loaded
    rows = rows_of("ords_toronto_202507.csv") + rows_of("ords_connects_202507.csv")
    closed = [row for row in rows if row["repair_status"] != "Unknown"]
    ours = run(folder, "pages/outcomes_by_kind")
    assert ours["closed"].sum() == len(closed)
    ends = Counter(row["repair_status"] for row in closed)
    assert ours["repaired"].sum() == ends["Fixed"]
    assert ours["beyond_repair"].sum() == ends["End of life"]
    largest = Counter(row["product_category"] for row in closed).most_common(1)[0][1]
    assert ours["closed"].iloc[0] == largest


@pytest.mark.parametrize("page", ["first_time_fix", "callbacks"])
def test_pages_without_data_say_what_these_records_can_answer(page, loaded, monkeypatch):
    _, folder = loaded
    shown = texts(opened(page, folder, monkeypatch))
    ours = run(folder, "pages/outcomes_by_kind")
    assert "Cannot be said yet" in shown
    assert f"{ours['repaired'].sum():,} were repaired" in shown
    assert "does better on every appliance" not in shown


def test_the_month_does_not_call_old_repairs_recent(loaded, monkeypatch):
    _, folder = loaded
    shown = texts(opened("month", folder, monkeypatch))
    assert "yet." not in shown
    assert "no repair on a known appliance and with recorded visits" in shown
    assert "Normal range –" not in shown


CONTRADICTIONS = {  # page → what it must not say of records without parts, readings and technicians
    "misdiagnosis": ("stands out on any habit", "0 pairs"),
    "no_fault_found": ("of the 0", "No fault was found on 0", "None of them"),
    "callbacks": ("the true rate may be higher",),
}


@pytest.mark.parametrize("page", CONTRADICTIONS)
def test_no_page_finds_something_in_what_was_not_recorded(page, loaded, monkeypatch):
    _, folder = loaded
    shown = texts(opened(page, folder, monkeypatch))
    assert [words for words in CONTRADICTIONS[page] if words in shown] == []
