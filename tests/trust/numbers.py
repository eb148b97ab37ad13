"""Load files and print a hash of every table, measure and report: python -m tests.trust.numbers.

The variations that must not matter are given as arguments and in the environment.
"""

import argparse
import hashlib
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from unittest.mock import patch

import duckdb

from dashboard.database.snapshot import take
from dashboard.filters import GROUPS
from dashboard.measures import MEASURES
from dashboard.month.load import month_html
from dashboard.text.csv_export import csv_text
from etl.folder.integrity import tables_of
from etl.folder.publish import current
from etl.load import load
from etl.raw import store
from tests import ask

OF_THE_CLOCK = (
    'old."raw"."loads"',
    'old."raw"."sources"',
)  # they say when a file was loaded, and nothing else
MONTHS = ("2025-06", "2026-03")


def numbers(folder: Path) -> dict[str, str]:
    """Return a hash of every table's rows in any order, every measure and report to the byte."""
    found = {}
    with duckdb.connect() as connection:
        connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(current(folder))})
        for name in tables_of(connection):
            if name not in OF_THE_CLOCK:
                rows = connection.table(name).fetchall()
                found[name] = _hash("\n".join(sorted(map(repr, rows))))
    for name in MEASURES:
        found[name] = _hash(csv_text(ask.measure(folder, name)))
        for group in GROUPS:
            table = ask.measure(folder, name, group_by=group)
            found[f"{name} by {group}"] = _hash(csv_text(table))
    return found | {month: _hash(month_html(take(folder), month)) for month in MONTHS}


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def with_threads(count: int) -> object:
    """Return a patch after which DuckDB works with so many threads wherever it is opened."""
    connect = duckdb.connect

    def connected(*arguments: object, **named: object) -> duckdb.DuckDBPyConnection:
        named["config"] = {"threads": count} | named.get("config", {})
        return connect(*arguments, **named)

    return patch.object(duckdb, "connect", connected)


def later(days: int) -> object:
    """Return a patch after which a load takes place so many days later."""

    class Clock(datetime):
        @classmethod
        def now(cls, tz=None):
            return datetime.now(UTC) + timedelta(days=days)

    return patch.object(store, "datetime", Clock)


def main() -> None:
    """Load under the variations asked for, and print the hashes as JSON."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("files", type=Path, nargs="+")
    parser.add_argument("--threads", type=int, required=True)
    parser.add_argument("--days-later", type=int, default=0)
    chosen = parser.parse_args()
    with with_threads(chosen.threads), later(chosen.days_later):
        load(chosen.files, chosen.folder)
        print(json.dumps(numbers(chosen.folder)))


if __name__ == "__main__":
    main()
