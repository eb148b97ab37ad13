"""A small loader to be killed: each version says in `meta` how many rows its table holds."""

import sys
from pathlib import Path

import duckdb

from etl.folder.publish import building, only_writer


def load(folder: Path, rows: int) -> None:
    """Publish a version with `rows` rows, and a `meta` that says so."""
    with only_writer(folder), building(folder) as target:
        fill(target, rows)


def fill(target: Path, rows: int) -> None:
    """Write the table of a version and what it must add up to."""
    connection = duckdb.connect(str(target), config={"threads": 1})
    try:
        connection.execute(
            "CREATE TABLE numbers AS SELECT hash(range) AS number FROM range($rows)", {"rows": rows}
        )
        connection.execute(
            "CREATE TABLE meta AS SELECT count(*) AS rows, sum(number) AS total FROM numbers"
        )
        connection.execute("CHECKPOINT")
    finally:
        connection.close()


def is_whole(path: Path) -> bool:
    """Say whether a published version holds what its own `meta` says, to the last row."""
    with duckdb.connect(str(path), read_only=True) as connection:
        written = connection.execute("SELECT rows, total FROM meta").fetchall()
        found = connection.execute("SELECT count(*), sum(number) FROM numbers").fetchall()
    return written == found and written[0][0] > 0


if __name__ == "__main__":
    place, first = Path(sys.argv[1]), int(sys.argv[2])
    for step in range(1000):
        load(place, first + 1000 * step)
