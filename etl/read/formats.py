"""One file → tables of text. Formats are told by content first, by name second."""

from pathlib import Path

from etl.read.archive import ZIP
from etl.read.delimited import read_delimited
from etl.read.foreign import refuse_foreign
from etl.read.json_records import read_json
from etl.read.ole import OLE
from etl.read.parquet import MAGIC, read_parquet
from etl.read.paths import content_of
from etl.read.source import Limits, SourceTable, UnreadableFile
from etl.read.workbook import read_workbook

JSON_SUFFIXES = (".json", ".jsonl", ".ndjson")


def tables_of(path: Path, limits: Limits) -> list[SourceTable]:
    """Return every table of a file; raises UnreadableFile, also when it holds no record."""
    try:
        tables = _read(path, content_of(path, limits), limits)
    except MemoryError:
        raise UnreadableFile(path.name, "too_large", "it takes too much memory") from None
    if all(table.is_empty for table in tables):
        raise UnreadableFile(path.name, "header_only")
    return tables


def _read(path: Path, content: bytes, limits: Limits) -> list[SourceTable]:
    if not content.strip(b" \t\r\n\xef\xbb\xbf\xff\xfe"):
        raise UnreadableFile(path.name, "empty_file")
    if content.startswith(MAGIC):
        return read_parquet(path, content, limits)
    if content.startswith((ZIP, OLE)):
        return read_workbook(path, content, limits)
    refuse_foreign(path, content)
    is_named_json = path.suffix.lower() in JSON_SUFFIXES
    if is_named_json or content[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")[:1] in (b"{", b"["):
        try:
            return read_json(path, content, limits)
        except UnreadableFile as refusal:
            if is_named_json or refusal.problem != "broken_json":
                raise  # else "[Job No],[Opened on]": a header, no JSON
    return read_delimited(path, content, limits)
