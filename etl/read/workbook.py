"""Workbooks (.xlsx, .xls, .ods): every visible sheet a table, every cell text."""

import io
import zipfile
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pyarrow as pa
from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

from etl.read.source import Limits, SourceTable, UnreadableFile, text_table, unique

OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ZIP = b"PK\x03\x04"


def read_workbook(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read every visible sheet that holds a header; empty sheets are left out."""
    if content.startswith(ZIP):
        _check_size(path.name, content, limits)
    if content.startswith(OLE) and "EncryptedPackage".encode("utf-16-le") in content:
        raise UnreadableFile(path.name, "encrypted_workbook")
    try:
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(content))
        sheets = [
            (sheet.name, workbook.get_sheet_by_name(sheet.name).to_python(skip_empty_area=False))
            for sheet in workbook.sheets_metadata
            if sheet.typ == SheetTypeEnum.WorkSheet and sheet.visible == SheetVisibleEnum.Visible
        ]
    except (CalamineError, OSError, ValueError, zipfile.BadZipFile) as error:
        problem = "encrypted_workbook" if "assword" in str(error) else "broken_workbook"
        raise UnreadableFile(path.name, problem) from None
    date_system = "1904" if _is_1904(content) else "1900"
    tables = [
        table
        for name, rows in sheets
        if (table := _table(path.name, name, rows, date_system, limits)) is not None
    ]
    if not tables:
        raise UnreadableFile(path.name, "empty_file")
    return tables


def _check_size(file: str, content: bytes, limits: Limits) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            unpacked = sum(entry.file_size for entry in archive.infolist())
    except (zipfile.BadZipFile, ValueError, OSError):
        raise UnreadableFile(file, "broken_workbook") from None
    is_out_of_proportion = unpacked > 100_000_000 and unpacked > limits.max_zip_ratio * len(content)
    if unpacked > limits.max_unzipped_bytes or is_out_of_proportion:
        raise UnreadableFile(file, "zip_bomb", f"{unpacked:,} bytes")


def _is_1904(content: bytes) -> bool:
    """Say whether an .xlsx counts its days from 1904; only bare day numbers depend on it."""
    if not content.startswith(ZIP):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            head = archive.read("xl/workbook.xml")[:20000]
    except (KeyError, zipfile.BadZipFile, OSError, ValueError, RuntimeError, NotImplementedError):
        return False
    return b'date1904="1"' in head or b'date1904="true"' in head


def _table(
    file: str, sheet: str, rows: list[list], date_system: str, limits: Limits
) -> SourceTable | None:
    texts = [[cell_text(cell) for cell in row] for row in rows]
    start = next((i for i, row in enumerate(texts) if sum(c is not None for c in row) > 1), None)
    if start is None:
        return None
    width = max(i for i, name in enumerate(texts[start], start=1) if name is not None)
    if width > limits.max_columns:
        raise UnreadableFile(file, "too_many_columns", f"{width} columns")
    kept = [
        (number, row[:width])
        for number, row in enumerate(texts[start + 1 :], start=start + 2)
        if any(cell is not None for cell in row[:width])
    ]
    header = unique([name or "" for name in texts[start][:width]])
    numbers = pa.array([number for number, _ in kept], pa.int64())
    table = text_table(header, [row for _, row in kept])
    return SourceTable(file, sheet, header, table, numbers, [], date_system)


def cell_text(cell: object) -> str | None:
    """Return a cell as text: dates ISO 8601, whole numbers without ".0", durations in minutes."""
    if cell is None or cell == "":
        return None
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, datetime):
        return f"{cell:%Y-%m-%d}" if cell.time() == time(0) else f"{cell:%Y-%m-%d %H:%M:%S}"
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return f"{cell:%H:%M:%S}"
    if isinstance(cell, timedelta):
        return f"{cell.total_seconds() / 60:g} min"
    return str(cell).strip() or None
