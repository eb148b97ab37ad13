"""The invented sample shop in a folder: recognized by its files' bytes, removed only when alone."""

import hashlib
from contextlib import closing, suppress
from functools import cache
from importlib.resources import files
from pathlib import Path

import duckdb

from etl.folder.errors import PublishError
from etl.folder.publish import only_writer
from etl.folder.versions import POINTER, current, versions

KINDS = (".csv", ".xlsx", ".jsonl", ".parquet")


@cache
def holds_only_sample(version: Path) -> bool:
    """Say whether every source of a version is a file of the sample shop; versions never change."""
    try:
        # attached, since pages in this process have the file open under other options
        with closing(duckdb.connect()) as connection:
            connection.execute("ATTACH $path AS kept (READ_ONLY)", {"path": str(version)})
            found = connection.execute("SELECT content_hash FROM kept.raw.sources").fetchall()
    except duckdb.Error:
        return False
    return bool(found) and {content for (content,) in found} <= _sample_hashes()


def remove_sample(folder: Path) -> None:
    """Remove the sample shop from a folder that holds nothing else; settings and key stay.

    Raises PublishError when a kept version has any other source, Busy while a load runs; then
    nothing is removed. The published version goes last, so a crash leaves it readable.
    """
    with only_writer(folder):
        published, all_versions = current(folder), versions(folder)
        if published is None:
            return
        if not all(holds_only_sample(version) for version in all_versions):
            raise PublishError(
                f"{folder}: holds records that are not of the sample shop; nothing was removed; "
                "use another --db for your own records"
            )
        for version in all_versions:
            if version != published:
                version.unlink(missing_ok=True)
        with suppress(FileNotFoundError):
            (folder / POINTER).unlink()
        published.unlink(missing_ok=True)


@cache
def _sample_hashes() -> frozenset[str]:
    return frozenset(
        hashlib.sha256(file.read_bytes()).hexdigest()
        for file in files("sample_data").iterdir()
        if file.name.endswith(KINDS)
    )
