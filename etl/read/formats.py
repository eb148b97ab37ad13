"""One file → tables of text. Formats are recognized by content first, by name second."""

from pathlib import Path

from etl.read.csv_text import read_delimited
from etl.read.json_records import read_json
from etl.read.ole_guard import OLE
from etl.read.parquet import MAGIC, read_parquet
from etl.read.paths import content_of, opened_under
from etl.read.signatures import refuse_foreign
from etl.read.source_table import Limits, SourceTable, UnreadableFile
from etl.read.workbook import read_workbook
from etl.read.zip_guard import ZIP

HEAD_BYTES = 1 << 20
SMALL_BYTES = 8 << 20  # smaller files are read whole at once
JSON_SUFFIXES = (".json", ".jsonl", ".ndjson")


def tables_of(path: Path, limits: Limits) -> list[SourceTable]:
    """Return every table of a file; raises UnreadableFile, also when it holds no record."""
    tables = _read(path, content_of(path, limits), limits)
    if all(table.is_empty for table in tables):
        raise UnreadableFile(path.name, "header_only")
    return tables


def heads_of(path: Path, limits: Limits) -> list[SourceTable]:
    """Return the tables of a file; of a large delimited text the header alone.

    Raises UnreadableFile; what is wrong further down in a large text, only reading the whole shows.
    """
    head = _head(path, limits)
    return [head] if head else tables_of(path, limits)


def _head(path: Path, limits: Limits) -> SourceTable | None:
    """Return what the first lines of a large delimited text give for sure, None otherwise."""
    try:
        if path.stat().st_size < SMALL_BYTES:
            return None
        with opened_under(path, limits) as file:
            start = file.read(HEAD_BYTES)
        lines = start[: start.rfind(b"\n") + 1]
        if b"\0" in start or _may_be_json(path, start) or start.startswith((MAGIC, ZIP, OLE)):
            return None
        refuse_foreign(path, start)
        (table,) = read_delimited(path, lines, limits)
    except (OSError, UnreadableFile):
        return None  # reading the whole shows why
    return table.head() if all(name.isascii() for name in table.header) else None


def _may_be_json(path: Path, content: bytes) -> bool:
    is_named_json = path.suffix.lower() in JSON_SUFFIXES
    return is_named_json or content[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"[")


def _read(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    if not content.strip(b" \t\r\n\xef\xbb\xbf\xff\xfe"):
        raise UnreadableFile(path.name, "empty_file")
    if content.startswith(MAGIC):
        return read_parquet(path, content, limits)
    if content.startswith((ZIP, OLE)):
        return read_workbook(path, content, limits)
    refuse_foreign(path, content)
    if _may_be_json(path, content):
        try:
            return read_json(path, content, limits)
        except UnreadableFile as refusal:
            if path.suffix.lower() in JSON_SUFFIXES or refusal.problem != "broken_json":
                raise  # else "[Job No],[Opened on]": a header, no JSON
    return read_delimited(path, content, limits)
