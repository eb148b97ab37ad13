"""Proposals for exports with headers from outside the project: how many are right."""

from dataclasses import replace
from datetime import time
from pathlib import Path

import openpyxl
import pytest

from etl.load import load
from etl.mapping.propose import propose
from etl.mapping.propose_all import mapping_of_all
from etl.read import read_tables
from tests.etl.mapping.exports import first_ten, second_ten
from tests.etl.mapping.exports.score import Score, score
from tests.etl.mapping.exports.write import Export
from tests.etl.rows import rows

LEAST_COLUMNS = 0.9  # share right without an edit; the first ten had 0.28 before, the second 0.93
LEAST_TABLES = 0.9


def scores(exports: list[Export], folder: Path) -> list[Score]:
    """Return the score of each export, each in a folder of its own."""
    result = []
    for export in exports:
        (folder / export.name).mkdir()
        result.append(score(export, folder / export.name))
    return result


@pytest.mark.parametrize("exports", [first_ten, second_ten], ids=["developed on", "fresh"])
def test_most_columns_and_tables_are_right_without_an_edit(exports, tmp_path: Path):
    found = scores(exports.EXPORTS, tmp_path)
    columns = sum(s.right for s in found) / sum(s.columns for s in found)
    tables = sum(s.tables == s.tables_right for s in found) / len(found)
    mistakes = [mistake for s in found for mistake in s.mistakes]
    assert columns >= LEAST_COLUMNS, mistakes
    assert tables >= LEAST_TABLES, mistakes


@pytest.mark.parametrize("exports", [first_ten, second_ten], ids=["developed on", "fresh"])
def test_the_order_of_dates_and_the_decimal_sign_come_from_the_values(exports, tmp_path: Path):
    for export, found in zip(exports.EXPORTS, scores(exports.EXPORTS, tmp_path), strict=True):
        assert found.is_order_right, export.name
        assert found.is_decimal_right, export.name


SUPPLIERS = ["North Supply", "South Parts", "East & Sons", "North Supply", ""]
CODES = [f"NS{n:05d}" for n in range(40)]
OF_PART_LINES = [
    ("Supplier", SUPPLIERS, "supplier"),
    ("Vendor Name", SUPPLIERS, "supplier"),
    ("Lieferant", SUPPLIERS, "supplier"),
    ("Fournisseur", SUPPLIERS, "supplier"),
    ("Vendor", ["V01", "V02", "V03"], "supplier"),  # an account number names a supplier, too
    ("Supplier Invoice", CODES, None),
    ("Vendor Price", ["$12.50", "$8.00", "$119.00"], "unit_charge"),
    ("Manufacturer", SUPPLIERS, None),
]


@pytest.mark.parametrize(("header", "cells", "field"), OF_PART_LINES)
def test_who_sold_a_part_is_found_under_its_usual_headers(
    tmp_path: Path, header: str, cells: list[str], field: str | None
):
    path = tmp_path / "parts.csv"
    rows = "\n".join(f"{n},K{n % 7}41,pump,1,{cells[n % len(cells)]}" for n in range(40))
    path.write_text(f"Job No,Part No,Description,Qty,{header}\n{rows}\n", encoding="utf-8")
    proposal = propose(read_tables(path)[0])
    assert proposal.table == "part_lines"
    assert {m.header: m.field for m in proposal.matches}.get(header) == field


def test_the_suppliers_own_part_number_is_the_part_number(tmp_path: Path):
    path = tmp_path / "parts.csv"
    rows = "\n".join(f"{n},{CODES[n % 9]},pump,1,{SUPPLIERS[n % 4]}" for n in range(40))
    header = "Job No,Vendor Part No,Description,Qty,Vendor"
    path.write_text(f"{header}\n{rows}\n", encoding="utf-8")
    found = {m.header: m.field for m in propose(read_tables(path)[0]).matches}
    assert (found["Vendor Part No"], found["Vendor"]) == ("part_no", "supplier")


PERSONAL = {
    "phone": [f"(555) 010-{n:04d}" for n in range(20)],
    "mail": [f"person{n}@example.com" for n in range(20)],
    "street": [f"{n + 3} Maple Street" for n in range(20)],
}


@pytest.mark.parametrize("header", ["Phone", "Code", "Site", "Make", "Item", "Notes", "Status"])
@pytest.mark.parametrize("kind", PERSONAL)
def test_contact_data_is_never_proposed_for_a_stored_field(tmp_path: Path, header: str, kind: str):
    path = tmp_path / "export.csv"
    rows = "\n".join(f"{n},2026-01-05,washer,{v}" for n, v in enumerate(PERSONAL[kind]))
    path.write_text(f"Job No,Opened,Appliance,{header}\n{rows}\n", encoding="utf-8")
    found = {m.header: m.field for m in propose(read_tables(path)[0]).matches}
    assert found.get(header, "customer") in ("customer", "notes")


VALUES_DECIDE = [
    ("Labor Hrs", ["1.25", "0.75", "2.5"], "minutes_on_job"),
    ("Labor", ["$85.00", "$120.00", "$64.50"], "labour_charged"),
    ("Parts", ["W10447A x 2", "W2203B", "W77C x 1"], "parts"),
    ("Parts", ["18.40", "0.00", "112.75"], "parts_charged"),
    ("Charged", ["100", "see bill", "85.50"], "charged"),
]


@pytest.mark.parametrize(("header", "cells", "field"), VALUES_DECIDE)
def test_values_decide_where_a_header_could_mean_two_fields(
    tmp_path: Path, header: str, cells: list[str], field: str
):
    path = tmp_path / "export.csv"
    rows = "\n".join(f"{n},2026-01-05,washer,{cells[n % 3]}" for n in range(30))
    path.write_text(f"Job No,Opened,Appliance,{header}\n{rows}\n", encoding="utf-8")
    found = {m.header: m.field for m in propose(read_tables(path)[0]).matches}
    assert found.get(header) == field


def test_times_of_day_of_a_time_sheet_take_the_day_of_their_row(tmp_path: Path):
    """And "off site" is a departure: 09:10 to 10:05 is 55 minutes, a second visit 40."""
    jobs = tmp_path / "jobs.csv"
    text = "Job Ref,Date Reported,Date Finished,Appliance,Outcome\n"
    text += "".join(f"J{n},{n}/02/2025,{n}/03/2025,washer,repaired\n" for n in range(10, 28))
    jobs.write_text(text, encoding="utf-8")
    sheet = tmp_path / "sheet.csv"
    text = "Job Ref,Engineer,Day,On site,Off site\n"
    for n in range(10, 28):
        text += f"J{n},Ann Lee,{n}/02/2025,09:10,10:05\nJ{n},Ann Lee,{n}/02/2025,13:00,13:40\n"
    sheet.write_text(text, encoding="utf-8")
    proposals = [propose(table) for path in (jobs, sheet) for table in read_tables(path)]
    by = mapping_of_all("elm", proposals)
    assert by.tables[1].columns["left_at"] == ("Day", "Off site")
    load([jobs, sheet], tmp_path / "db", mapping=by)
    found = rows(tmp_path / "db", "SELECT labour_min, arrived_at::DATE AS day FROM core.visits")
    assert sorted(found["labour_min"]) == [40.0] * 18 + [55.0] * 18
    assert str(found["day"].min())[:10] == "2025-02-10"


def workbook_of(path: Path, header: list, rows: list[list]) -> Path:
    book = openpyxl.Workbook()
    for row in (header, *rows):
        book.active.append(row)
    book.save(path)
    return path


def test_numbers_of_days_are_days_under_a_header_that_says_so(tmp_path: Path):
    """46023 is 2026-01-01 in a workbook; a number of a job is none."""
    rows = [[46000 + n, 46023 + n, 46024 + n, "washer", "leaks", "Done"] for n in range(20)]
    header = ["Job", "Rcvd", "Closed", "Appliance", "Problem", "Status"]
    found = propose(read_tables(workbook_of(tmp_path / "a.xlsx", header, rows))[0])
    fields = {m.header: m.field for m in found.matches}
    assert [fields[h] for h in header[:3]] == ["job_id", "opened_on", "closed_on"]


def test_the_day_of_a_time_sheet_may_be_a_number_of_a_workbook(tmp_path: Path):
    rows = [[5100 + n // 2, 46023 + n, time(9, 5), time(10, 0), "Ann Lee"] for n in range(20)]
    header = ["Job", "Call date", "In", "Out", "Tech"]
    (source,) = read_tables(workbook_of(tmp_path / "a.xlsx", header, rows))
    columns = propose(source, "visits").table_mapping().columns
    assert columns["arrived_at"] == ("Call date", "In")
    assert columns["left_at"] == ("Call date", "Out")


@pytest.mark.parametrize("day", ["Nov {}, 25", "Mon, Nov {}, 2025", "Nov {} '25"])
def test_days_with_a_weekday_or_a_short_year_are_days(tmp_path: Path, day: str):
    path = tmp_path / "a.csv"
    lines = [f'J{n},"{day.format(n + 1)}",washer,leaks,Done' for n in range(20)]
    path.write_text("Job,Dt In,Appliance,Problem,Status\n" + "\n".join(lines), encoding="utf-8")
    found = {
        m.header: m.field for m in propose(read_tables(path)[0]).matches if m.header == "Dt In"
    }
    assert found["Dt In"] in ("opened_on", "closed_on")


@pytest.mark.parametrize(
    ("zone", "closed"), [("UTC", "2025-03-04"), ("America/Chicago", "2025-03-03")]
)
def test_the_day_of_a_time_with_offset_is_the_shops_where_its_zone_is_known(
    tmp_path: Path, zone: str, closed: str
):
    """02:40 in Greenwich is 20:40 of the day before in Chicago in winter (IANA zone data)."""
    path = tmp_path / "a.csv"
    lines = [f"J{n},2025-03-03T08:15:00Z,2025-03-04T02:40:00Z,washer,leaks,Done" for n in range(9)]
    text = "Job,created_at,completed_at,Appliance,Problem,Status\n" + "\n".join(lines)
    path.write_text(text, encoding="utf-8")
    proposal = propose(read_tables(path)[0])
    assert any("time_zone" in asked for asked in proposal.asked)
    load([path], tmp_path / "db", mapping=replace(proposal.mapping("zoned"), time_zone=zone))
    found = rows(tmp_path / "db", "SELECT closed_on::VARCHAR AS closed_on FROM core.jobs")
    assert set(found["closed_on"]) == {closed}
