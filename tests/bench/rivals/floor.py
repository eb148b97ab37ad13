"""The least that a load can cost: the files read as text into a database, nothing understood.

python -m tests.bench.rivals.floor FOLDER OUT
"""

import sys
from contextlib import closing
from pathlib import Path

import duckdb

from etl.mapping.fields import TABLES


def main(folder: Path, out: Path) -> None:
    """Read every file of each table into a database file."""
    out.mkdir(parents=True, exist_ok=True)
    with closing(duckdb.connect(out / "floor.duckdb")) as connection:
        for name in TABLES:
            files = str(folder / f"{name}_*.csv")
            connection.read_csv(files, all_varchar=True).create(name)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
