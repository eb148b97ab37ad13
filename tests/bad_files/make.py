"""Writes the files of this folder: one tiny file per problem, named after its code.

`encrypted_workbook.xlsx` is kept as it is: it was written once with msoffcrypto-tool (password
"ohm") from a workbook of two cells, and needs that library to be written again.
"""

import io
import zipfile
from pathlib import Path

import openpyxl
import pyarrow as pa
import pyarrow.parquet as pq

HERE = Path(__file__).parent
TICKETS = b"Ticket,Opened,Notes\n1,2026-03-02,no heat\n"


def workbook(cells: dict[str, object]) -> bytes:
    """Return a workbook of one sheet with the cells named."""
    book = openpyxl.Workbook()
    for place, value in cells.items():
        book.active[place] = value
    return saved(book)


def saved(book: openpyxl.Workbook) -> bytes:
    """Return the bytes of a workbook."""
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def bomb() -> bytes:
    """Return a workbook whose one sheet is 30 MB of blanks, packed 1,000 to 1."""
    buffer = io.BytesIO(workbook({"A1": "Ticket", "B1": "Opened"}))
    with zipfile.ZipFile(buffer, "a", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        archive.writestr("xl/worksheets/sheet2.xml", b" " * 30_000_000)
    return buffer.getvalue()


def parquet() -> bytes:
    """Return a Parquet file of one row."""
    buffer = io.BytesIO()
    pq.write_table(pa.table({"ticket": ["1"], "opened": ["2026-03-02"]}), buffer)
    return buffer.getvalue()


def files() -> dict[str, bytes]:
    """Return the content of every file by name."""
    return {
        "empty_file.csv": b"",
        "header_only.csv": b"Ticket,Opened,Notes\n",
        "too_large.csv": TICKETS + b"2,2026-03-03,leaks\n",
        "not_a_table.xls": b"<html><body><table><tr><td>Ticket</td></tr></table></body></html>\n",
        "truncated_parquet.parquet": parquet()[:-40],
        "broken_workbook.xlsx": workbook({"A1": "Ticket", "B1": "Opened"})[:2000],
        "zip_bomb.xlsx": bomb(),
        "stray_cells.xlsx": workbook({"A1": "Ticket", "B1": "Opened", "XFD1048576": "x"}),
        "too_many_columns.csv": ",".join(f"c{i}" for i in range(2001)).encode() + b"\n",
        "line_too_long.csv": TICKETS + b"2,2026-03-03," + b"leaks " * 500 + b"\n",
        "unclosed_quote.csv": TICKETS + b'2,2026-03-03,"leaks\n3,2026-03-04,noise\n',
        "nul_bytes.csv": TICKETS + b"2,2026-03-03,le\0aks\n",
        "broken_json.json": b'[{"ticket": "1"},\n {"ticket": "2",}]\n',
        "undecodable_bytes.csv": "1,2026-03-02,9,4 Ω\n".replace("9,4", "9.4").encode()
        .join([b"Ticket,Opened,Notes\n", b"2,2026-03-03,caf\xe9\n"]),
        "ragged_row.csv": TICKETS + b"2,2026-03-03,leaks, then trips\n",
        "broken_quotes.csv": TICKETS + b'2,2026-03-03,"12" drum" squeals\n',
        "broken_json_line.jsonl": b'{"ticket": "1", "notes": "no heat"}\n{"ticket": "2", "no\n',
    }  # fmt: skip


if __name__ == "__main__":
    for name, content in files().items():
        (HERE / name).write_bytes(content)
