"""What a ZIP archive holds and how large it would unpack: looked at before it is opened."""

import io
import re
import zipfile
import zlib

from etl.read.source_table import Limits, UnreadableFile

ZIP = b"PK\x03\x04"
SMALL = 20_000_000  # below this many bytes no ratio is out of proportion
PIECE_BYTES = 1 << 20
MOST_SPARSE, SPARSE = 2_000_000, 50  # above it, a cell in fifty must hold something
CELL = re.compile(rb'<(?:\w+:)?c[^>]*? r="([A-Z]{1,3})(\d{1,7})"')
REPEATED = re.compile(rb'<table:table-cell[^>]*number-columns-repeated="(\d+)"[^>]*value-type')
ZIP_FAULTS = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    ValueError,
    NotImplementedError,
    RuntimeError,
)


def check_archive(file: str, content: bytes, limits: Limits) -> None:
    """Refuse an archive that is no workbook, is locked, or would unpack to far too much.

    Also one with a cell so far out that the reader, which holds whole rectangles, would run out
    of memory. Raises UnreadableFile.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            _check_size(file, archive, len(content), limits)
            _check_kind(file, archive)
            for entry in archive.infolist():
                if re.fullmatch(r"xl/worksheets/[^/]+\.xml|content\.xml", entry.filename):
                    _check_extent(file, archive, entry, limits)
    except ZIP_FAULTS:
        raise UnreadableFile(file, "broken_workbook") from None


def is_1904(content: bytes) -> bool:
    """Say whether an .xlsx counts its days from 1904; only bare day numbers depend on it."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            head = archive.read("xl/workbook.xml")[:100_000]
    except (KeyError, *ZIP_FAULTS):
        return False
    return re.search(rb"date1904\s*=\s*[\"'](1|true)[\"']", head) is not None


def _check_size(file: str, archive: zipfile.ZipFile, packed: int, limits: Limits) -> None:
    unpacked = sum(entry.file_size for entry in archive.infolist())
    is_out_of_proportion = unpacked > SMALL and unpacked > limits.max_zip_ratio * packed
    if unpacked > limits.max_unzipped_bytes or is_out_of_proportion:
        raise UnreadableFile(file, "zip_bomb", f"{packed:,} bytes would become {unpacked:,}")


def _check_kind(file: str, archive: zipfile.ZipFile) -> None:
    names = set(archive.namelist())
    if "xl/workbook.bin" in names:
        raise UnreadableFile(file, "not_a_table", "a binary workbook; save it as .xlsx")
    if "xl/workbook.xml" in names:
        return
    if "content.xml" in names:
        manifest = "META-INF/manifest.xml"
        if manifest in names and b"encryption-data" in archive.read(manifest):
            raise UnreadableFile(file, "encrypted_workbook")
        return
    raise UnreadableFile(file, "not_a_table", "a ZIP archive that holds no workbook; unpack it")


def _check_extent(
    file: str, archive: zipfile.ZipFile, entry: zipfile.ZipInfo, limits: Limits
) -> None:
    rows = columns = 1
    cells = 0
    tail = b""
    with archive.open(entry) as sheet:
        while piece := sheet.read(PIECE_BYTES):
            text = tail + piece
            found = CELL.findall(text)
            cells += len(found)
            for letters, row in found:
                rows = max(rows, int(row))
                columns = max(columns, _column(letters))
            wide = max(map(int, REPEATED.findall(text)), default=0)
            if wide > limits.max_columns:
                raise UnreadableFile(file, "too_many_columns", f"{wide:,} columns")
            tail = text[-200:]
    is_sparse = cells and rows * columns > MOST_SPARSE and rows * columns > SPARSE * cells
    if rows * columns > limits.max_sheet_cells or is_sparse:
        where = f"{rows:,} rows × {columns:,} columns"
        raise UnreadableFile(file, "stray_cells", where)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number
