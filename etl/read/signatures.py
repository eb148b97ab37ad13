"""Files of another kind, named for what they are."""

from pathlib import Path

from etl.read.source_table import UnreadableFile

KINDS = (
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a gzip archive; unpack it"),
    (b"7z\xbc\xaf", "a 7z archive; unpack it"),
    (b"Rar!", "a RAR archive; unpack it"),
    (b"SQLite format 3", "an SQLite database"),
    (b"{\\rtf", "a rich-text document"),
    (b"PARE", "an encrypted Parquet file"),
    (b"PK\x05\x06", "an empty ZIP archive"),
)
MARKUP = (
    ((b"<!doctype html", b"<html", b"<table"), "an HTML page"),
    ((b"<?xml",), "an XML document"),
)
SAMPLE_BYTES = 1 << 16
CONTROLS = bytes(set(range(1, 32)) - set(b"\t\n\v\f\r\x1a\x1b"))
FEW_CONTROLS = 8
MOST_CONTROLS = 0.01  # share of control characters above which bytes are no text


def refuse_foreign(path: Path, content: bytes) -> None:
    """Raise UnreadableFile when the content is of a kind that holds no table of text."""
    for magic, kind in KINDS:
        if content.startswith(magic):
            raise UnreadableFile(path.name, "not_a_table", kind)
    start = content[:1024].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    for beginnings, kind in MARKUP:
        if start.startswith(beginnings):
            raise UnreadableFile(path.name, "not_a_table", kind)
    if path.suffix.lower() in (".parquet", ".pq") and b"\0" in content:
        raise UnreadableFile(path.name, "truncated_parquet")
    if path.suffix.lower() in (".xlsx", ".xlsm", ".xls", ".ods") and b"\0" in content:
        raise UnreadableFile(path.name, "broken_workbook")
    sample = content[:SAMPLE_BYTES]
    controls = len(sample) - len(sample.translate(None, CONTROLS))
    is_utf_16 = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    if not is_utf_16 and controls > max(FEW_CONTROLS, MOST_CONTROLS * len(sample)):
        raise UnreadableFile(path.name, "not_a_table", "its bytes are no text")
