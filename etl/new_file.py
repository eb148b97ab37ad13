"""The file in which a new version is built, and the settings that are written into it."""

from pathlib import Path

import duckdb

from etl.folder.shop_key import FINGERPRINT, fingerprint


def opened(target: Path) -> duckdb.DuckDBPyConnection:
    """Open the file as `whole`, so that small databases can be attached under fixed names.

    Without a log of what is written: a file that is not finished is thrown away.
    """
    connection = duckdb.connect(config={"temp_directory": f"{target}.tmp"})
    connection.execute("ATTACH $path AS whole (RECOVERY_MODE no_wal_writes)", {"path": str(target)})
    connection.execute("USE whole")
    return connection


def with_fingerprint(settings: dict[str, str] | None, key: bytes) -> dict[str, str]:
    return {FINGERPRINT: fingerprint(key)} | (settings or {})
