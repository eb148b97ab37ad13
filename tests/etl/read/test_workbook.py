"""Workbooks: what a person sees in the sheet is what the text says."""

import io
import zipfile
from datetime import date, datetime, time, timedelta
from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from etl.read import Limits, SourceTable, UnreadableFile, read_tables
from etl.read.cell_text import cell_text, number_text
from tests.bad_files.make import saved, workbook

OLD = Path(__file__).parent / "files" / "old_workbook.xls"


def read(folder: Path, content: bytes, name: str = "export.xlsx") -> list[SourceTable]:
    path = folder / name
    path.write_bytes(content)
    return read_tables(path)


def column(table: SourceTable, i: int = 0) -> list[str | None]:
    return table.table.column(i).to_pylist()


def sheet_of(folder: Path, values: list, form: str | None = None, epoch=None) -> SourceTable:
    book = openpyxl.Workbook()
    if epoch is not None:
        book.epoch = epoch
    book.active.append(["Value", "Row"])
    for i, value in enumerate(values, start=2):
        book.active.cell(i, 1, value)
        book.active.cell(i, 2, i)
        if form:
            book.active.cell(i, 1).number_format = form
    (table,) = read(folder, saved(book))
    return table


def test_every_kind_of_cell_becomes_text(tmp_path):
    values = [
        "007", "9.4 Ω", 7, 9.4, 0.1 + 0.2, 1e-7, 12345678901, True, date(2026, 3, 2),
        datetime(2026, 3, 2, 10, 20), time(9, 5), timedelta(minutes=80), timedelta(hours=30),
    ]  # fmt: skip
    assert column(sheet_of(tmp_path, values)) == [
        "007", "9.4 Ω", "7", "9.4", "0.3", "0.0000001", "12345678901", "true", "2026-03-02",
        "2026-03-02T10:20:00", "09:05:00", "80 min", "1800 min",
    ]  # fmt: skip


SERIALS = [
    (1, "1900-01-01"),
    (59, "1900-02-28"),
    (60, "1900-02-28"),
    (61, "1900-03-01"),
    (25569, "1970-01-01"),
    (36526, "2000-01-01"),
    (44197, "2021-01-01"),
    (45292, "2024-01-01"),
    (46023, "2026-01-01"),
]


def test_dates_of_the_1900_system(tmp_path):
    """Day numbers and dates as openpyxl gives them; 60, 1900-02-29, never was."""
    table = sheet_of(tmp_path, [serial for serial, _ in SERIALS], "yyyy-mm-dd")
    assert column(table) == [day for _, day in SERIALS]
    assert table.date_system == "1900"


def test_dates_of_the_1904_system(tmp_path):
    """The 1904 system counts 1462 days fewer for the same date (openpyxl; ECMA-376, 18.17.4.1)."""
    days = SERIALS[4:]
    table = sheet_of(
        tmp_path, [serial - 1462 for serial, _ in days], "yyyy-mm-dd", CALENDAR_MAC_1904
    )
    assert column(table) == [day for _, day in days]
    assert table.date_system == "1904"


def test_a_day_number_without_a_date_format_stays_a_number(tmp_path):
    """Only the mapping knows that the column holds dates; the date system travels along."""
    assert column(sheet_of(tmp_path, [46085, 46085.5])) == ["46085", "46085.5"]


@pytest.mark.parametrize("minute", range(0, 1440, 37))
def test_a_minute_stored_as_a_fraction_of_a_day_comes_back_whole(minute):
    """10:20 is 0.430555…: floating point may miss it by microseconds."""
    moment = datetime(2026, 3, 2) + timedelta(days=1) * (minute / 1440) - timedelta(microseconds=3)
    hour, rest = divmod(minute, 60)
    wanted = f"2026-03-02T{hour:02}:{rest:02}:00" if minute else "2026-03-02"
    assert cell_text(moment) == wanted


def test_numbers_are_written_in_plain_digits():
    assert [number_text(n) for n in (1e15, 1e22, -0.0, 1 / 3, 2.5e-10, 118.5)] == [
        "1000000000000000",
        "10000000000000000000000",
        "0",
        "0.333333333333333",
        "0.00000000025",
        "118.5",
    ]


def test_the_header_is_the_first_row_of_two_cells(tmp_path):
    cells = {"B2": "Closed jobs", "B4": "Ticket", "C4": "Opened", "B6": "1", "C6": "2026-03-02"}
    (table,) = read(tmp_path, workbook(cells))
    assert [name for name in table.header if not name.startswith("column")] == ["Ticket", "Opened"]
    assert table.row_numbers.to_pylist() == [6]
    assert "row 2, before the header, was left out" in table.notes


def test_a_cell_next_to_the_table_is_not_lost(tmp_path):
    cells = {"A1": "Ticket", "B1": "Opened", "A2": "1", "B2": "x", "D2": "call back"}
    (table,) = read(tmp_path, workbook(cells))
    assert table.header == ["Ticket", "Opened", "column 3", "column 4"]
    assert column(table, 3) == ["call back"]


def test_visible_sheets_are_read_and_hidden_and_empty_ones_left_out(tmp_path):
    book = openpyxl.Workbook()
    for name, state in (("Calls", "visible"), ("Old", "hidden"), ("Older", "veryHidden")):
        sheet = book.create_sheet(name)
        sheet.append(["Ticket", "Opened"])
        sheet.append([name, "x"])
        sheet.sheet_state = state
    assert [table.sheet for table in read(tmp_path, saved(book))] == ["Calls"]


def test_a_workbook_under_any_name_is_read(tmp_path):
    (table,) = read(tmp_path, workbook({"A1": "a", "B1": "b", "A2": "1"}), "export.csv")
    assert column(table) == ["1"]


def test_text_under_a_workbooks_name_is_read(tmp_path):
    (table,) = read(tmp_path, b"a,b\n1,2\n", "export.xlsx")
    assert column(table) == ["1"]


def test_an_old_binary_workbook_is_read():
    """`old_workbook.xls` was written with xlwt 1.3.0; its second sheet is hidden."""
    (table,) = read_tables(OLD)
    assert (table.sheet, table.date_system) == ("Work", "1900")
    assert list(zip(*[column(table, i) for i in range(6)], strict=True)) == [
        ("007", "2026-03-02", "2026-03-02T10:20:00", "09:05:00", "9.4", "true"),
        ("8", None, None, None, "48", None),
    ]


NAMESPACES = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
    for name in ("office", "table", "text")
)


def open_document(rows: str, manifest: str = "", sheet: str = "Work") -> bytes:
    """Return an OpenDocument spreadsheet (OASIS OpenDocument 1.2, part 1, section 9)."""
    content = (
        f"<office:document-content {NAMESPACES}><office:body><office:spreadsheet>"
        f'<table:table table:name="{sheet}">{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        kind = "application/vnd.oasis.opendocument.spreadsheet"
        archive.writestr("mimetype", kind, zipfile.ZIP_STORED)
        archive.writestr(
            "META-INF/manifest.xml",
            '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
            f'<manifest:file-entry manifest:full-path="/" manifest:media-type="">{manifest}'
            "</manifest:file-entry></manifest:manifest>",
        )
        archive.writestr("content.xml", content)
    return buffer.getvalue()


VALUES = {"date": "date-value", "boolean": "boolean-value", "string": "string-value"}


def cell(kind: str, value: str, attributes: str = "") -> str:
    return (
        f'<table:table-cell {attributes} office:value-type="{kind}" '
        f'office:{VALUES.get(kind, "value")}="{value}"><text:p>{value}</text:p></table:table-cell>'
    )


def row(*cells: str) -> str:
    return f"<table:table-row>{''.join(cells)}</table:table-row>"


def test_an_open_document_is_read(tmp_path):
    names = [cell("string", name) for name in ("Ticket", "Opened", "Ohms", "Done")]
    values = [
        cell("string", "007"),
        cell("date", "2026-03-02"),
        cell("float", "9.4"),
        cell("boolean", "true"),
    ]
    (table,) = read(tmp_path, open_document(row(*names) + row(*values)), "export.ods")
    assert table.header == ["Ticket", "Opened", "Ohms", "Done"]
    assert [column(table, i) for i in range(4)] == [["007"], ["2026-03-02"], ["9.4"], ["true"]]


def test_an_encrypted_open_document_is_named(tmp_path):
    locked = open_document(row(cell("string", "x")), "<manifest:encryption-data/>")
    with pytest.raises(UnreadableFile, match="has a password"):
        read(tmp_path, locked, "export.ods")


def test_a_cell_repeated_across_the_sheet_is_refused(tmp_path):
    wide = cell("string", "x", attributes='table:number-columns-repeated="16384"')
    with pytest.raises(UnreadableFile, match="16,384 columns"):
        read(tmp_path, open_document(row(wide) + row(wide)), "export.ods")


def test_an_archive_without_a_workbook_is_named(tmp_path):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("jobs.csv", "a,b\n1,2\n")
    with pytest.raises(UnreadableFile, match="holds no workbook; unpack it"):
        read(tmp_path, buffer.getvalue())


def test_a_sheet_above_the_limit_of_columns_is_refused(tmp_path):
    path = tmp_path / "wide.xlsx"
    path.write_bytes(workbook({"A1": "a", "B1": "b", "E2": "x"}))
    with pytest.raises(UnreadableFile, match="5 columns"):
        read_tables(path, Limits(max_columns=4))


def book_of(path, rows):
    """Write one sheet of rows and read it."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    book.save(path)
    return read_tables(path)[0]


RECORDS = [[n, f"2026-01-0{n}", "washer", "no spin", 40 + n] for n in range(1, 8)]


def test_title_rows_of_several_cells_are_not_the_header(tmp_path):
    titles = [["Register 2026"], ["From", "2026-01-01", None, None, None], ["Shop", "North"]]
    table = book_of(
        tmp_path / "a.xlsx", [*titles, ["Job", "Opened", "Unit", "Problem", "Min"], *RECORDS]
    )
    assert table.header == ["Job", "Opened", "Unit", "Problem", "Min"]
    assert table.row_count == 7


def test_a_header_over_two_rows_is_joined(tmp_path):
    upper = ["Job", "Charges", None, None, "Unit"]
    lower = [None, "Labor", "Parts", "Total", None]
    rows = [[n, 10, 20, 30, "washer"] for n in range(6)]
    table = book_of(tmp_path / "a.xlsx", [["Year"], upper, lower, *rows])
    assert table.header == ["Job", "Charges Labor", "Charges Parts", "Charges Total", "Unit"]
    assert table.row_count == 6


def test_sums_and_lone_remarks_are_left_out_and_noted(tmp_path):
    rows = [
        ["Job", "Opened", "Unit", "Problem", "Min"],
        *RECORDS[:3],
        ["week 2 starts here"],
        *RECORDS[3:],
        ["Total", None, None, None, 301],
        ["12345"],
    ]
    table = book_of(tmp_path / "a.xlsx", rows)
    assert table.row_count == 8  # a lone number may be a job without anything else: it stays
    assert "row 10 holds sums, not a record: left out" in table.notes
    assert "row 5 holds a remark in a single cell, not a record: left out" in table.notes


def test_the_header_of_each_printed_page_and_the_totals_of_a_report_are_left_out(tmp_path):
    header = ["Job", "Opened", "Unit", "Problem", "Min"]
    rows = [header, *RECORDS[:3], header, *RECORDS[3:], ["Report Totals", None, None, None, 301]]
    table = book_of(tmp_path / "a.xlsx", rows)
    assert table.row_count == len(RECORDS)
    assert "row 5 holds the header again, not a record: left out" in table.notes
    assert any("holds sums" in note for note in table.notes)
