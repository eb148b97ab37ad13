"""Workbooks (.xlsx, .xls, .ods): every visible sheet a table, every cell text."""

import io
from collections.abc import Iterator
from itertools import chain, islice
from pathlib import Path

from python_calamine import (
    CalamineError,
    CalamineSheet,
    CalamineWorkbook,
    PasswordError,
    SheetTypeEnum,
    SheetVisibleEnum,
)

from etl.read.cell_text import cell_text
from etl.read.header_row import LOOKED_AT, find_header
from etl.read.non_records import without_non_records
from etl.read.ole_guard import check_chains
from etl.read.row_buffer import TextRows
from etl.read.source_table import Limits, SourceTable, UnreadableFile, unique
from etl.read.zip_guard import ZIP, check_archive, is_1904

ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
Row = tuple[int, list[str | None]]


def read_workbook(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    """Read every visible sheet that holds a header; the others are left out.

    The header is the first row of names as wide as the table. Raises UnreadableFile for a workbook
    that is damaged, locked with a password or unpacks to far too much.
    """
    if content.startswith(ZIP):
        check_archive(path.name, content, limits)
    elif ENCRYPTED in content:
        raise UnreadableFile(path.name, "encrypted_workbook")
    else:
        check_chains(path.name, content)
    tables = _guarded(path.name, content, limits)
    if not tables:
        raise UnreadableFile(path.name, "empty_file", "no visible sheet has a header of two cells")
    return tables


def _guarded(file: str, content: bytes, limits: Limits) -> list[SourceTable]:
    """Return the tables of a workbook whose outside was checked; raises UnreadableFile."""
    try:
        return _tables(file, content, limits)
    except UnreadableFile:
        raise
    except PasswordError:
        raise UnreadableFile(file, "encrypted_workbook") from None
    except (CalamineError, OSError, ValueError, OverflowError, MemoryError) as error:
        problem = "encrypted_workbook" if "assword" in str(error) else "broken_workbook"
        raise UnreadableFile(file, problem) from None
    except BaseException as error:
        if type(error).__name__ != "PanicException":  # the Rust library's own way to give up
            raise
        raise UnreadableFile(file, "broken_workbook") from None


def _tables(file: str, content: bytes, limits: Limits) -> list[SourceTable]:
    date_system = "1904" if content.startswith(ZIP) and is_1904(content) else "1900"
    with CalamineWorkbook.from_filelike(io.BytesIO(content)) as workbook:
        shown = [
            sheet.name
            for sheet in workbook.sheets_metadata
            if sheet.visible == SheetVisibleEnum.Visible and sheet.typ == SheetTypeEnum.WorkSheet
        ]
        tables = [
            _table(file, number, workbook.get_sheet_by_name(name), date_system, limits)
            for number, name in enumerate(shown, start=1)
        ]
    return [table for table in tables if table is not None]


def _table(
    file: str, number: int, sheet: CalamineSheet, date_system: str, limits: Limits
) -> SourceTable | None:
    rows = _rows(sheet)
    given = limits.header_row(sheet.name)
    first = list(islice(rows, max(LOOKED_AT, given or 0)))
    found = find_header([cells for _, cells in first], given and given - 1)
    while found is None and given is None and (more := list(islice(rows, LOOKED_AT))):
        first = more
        found = find_header([cells for _, cells in first])
    if found is None:
        return None
    header, notes = unique(found.names)
    above, below = first[: found.place], first[found.place + found.rows :]
    if len(header) > limits.max_columns:
        where = f"sheet {number}, {len(header):,} columns"
        raise UnreadableFile(file, "too_many_columns", where)
    titles = [row_number for row_number, cells in above if any(cells)]
    notes += [f"row {each}, before the header, was left out" for each in titles]
    kept = TextRows(file, len(header), limits)
    for row_number, cells in chain(below, rows):
        if any(cell is not None and cell.strip() for cell in cells):
            kept.add(row_number, cells)
    if found.rows > 1:
        notes.append(f"rows {first[found.place][0]} and {first[found.place + 1][0]} are the header")
    table, numbers = kept.finish()
    source = SourceTable(
        file, sheet.name, header, table, numbers, [], date_system, notes, sheet_number=number
    )
    return without_non_records(source)


def _rows(sheet: CalamineSheet) -> Iterator[Row]:
    for number, row in enumerate(sheet.iter_rows(), start=1):
        yield number, [cell_text(cell) for cell in row]
