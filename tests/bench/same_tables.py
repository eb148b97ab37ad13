"""Do two contenders make the same core tables? Rows that only one of them has, both ways.

Numbers are compared to seven digits: the same factors may be multiplied in another order. The
rivals compose no meaning from several words, which ours does for the complaints and causes of an
unknown kind of appliance, where no list has their words: these are not compared.
"""

from contextlib import closing
from pathlib import Path

import duckdb

from dashboard.database.version import version

LISTED = "CASE WHEN appliance_kind <> 'other_appliance' THEN {0} END AS {0}"
COLUMNS = {
    "jobs": (
        "job_id", "opened_on::DATE", "closed_on::DATE", "branch", "unit_key", "appliance_kind",
        "brand", "model", LISTED.format("symptom"), LISTED.format("root_cause"), "repair_code",
        "disposition",
        "charged::DECIMAL(12, 2)", "parts_charged::DECIMAL(12, 2)",
    ),
    "visits": (
        "job_id", "visit_no::INTEGER", "technician", "arrived_at::TIMESTAMP", "outcome",
        "labour_min::DOUBLE", "travel_min::DOUBLE",
    ),
    "readings": (
        "job_id", "visit_no::INTEGER", "test_point", "base_value::FLOAT", "is_open",
        "is_closed", "test_min::DOUBLE", "meter",
    ),
    "part_lines": (
        "job_id", "visit_no::INTEGER", "part_no", "component", "quantity::DOUBLE",
        "unit_cost::DECIMAL(12, 2)", "unit_charge::DECIMAL(12, 2)", "is_from_van", "is_on_hand",
    ),
    "quarantine": ("table_name", "code", "field", "rows::BIGINT"),
}  # fmt: skip
OURS = {name: f"ours.core.{name}" for name in ("jobs", "visits", "readings", "part_lines")} | {
    "quarantine": "(SELECT table_name, code, field, count(*) AS rows FROM ours.core.problems"
    " WHERE NOT is_row_kept GROUP BY ALL)"
}


def differences(database: Path, rival: Path) -> dict[str, tuple[int, int]]:
    """Return, by table, the rows that only our database has and those that only the rival has.

    `database` is a database folder, `rival` a folder of Parquet files. Same tables give only zeros.
    """
    theirs = {name: f"read_parquet('{rival / name}.parquet')" for name in COLUMNS}
    return _compared(database, OURS, theirs)


def differences_of_loads(one: Path, other: Path) -> int:
    """Count the rows of any core table that only one of two database folders has."""
    with closing(_opened(one)) as connection:
        connection.execute(f"ATTACH '{version(other)}' AS other (READ_ONLY)")
        names = connection.execute(
            "SELECT table_name FROM duckdb_tables() WHERE database_name = 'ours' AND"
            " schema_name = 'core'"
        ).fetchall()
        pairs = [(f"ours.core.{name}", f"other.core.{name}") for (name,) in names]
        return sum(
            connection.execute(f"SELECT count(*) FROM (FROM {a} EXCEPT ALL FROM {b})").fetchall()[
                0
            ][0]
            for pair in pairs
            for a, b in (pair, pair[::-1])
        )


def row_counts(database: Path) -> dict[str, int]:
    """Return the rows of each compared table of our database."""
    with closing(_opened(database)) as connection:
        counts = {name: f"SELECT count(*) FROM {source}" for name, source in OURS.items()}
        return {name: connection.execute(q).fetchall()[0][0] for name, q in counts.items()}


def _compared(database: Path, ours: dict, theirs: dict) -> dict[str, tuple[int, int]]:
    found = {}
    with closing(_opened(database)) as connection:
        for name, columns in COLUMNS.items():
            left, right = (f"SELECT {', '.join(columns)} FROM {t[name]}" for t in (ours, theirs))
            pair = ((left, right), (right, left))
            only = (f"SELECT count(*) FROM ({one} EXCEPT ALL {other})" for one, other in pair)
            found[name] = tuple(connection.execute(query).fetchall()[0][0] for query in only)
    return found


def _opened(database: Path) -> duckdb.DuckDBPyConnection:
    connection = duckdb.connect()
    connection.execute(f"ATTACH '{version(database)}' AS ours (READ_ONLY)")
    return connection
