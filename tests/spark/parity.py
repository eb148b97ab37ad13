"""Two published versions, or two answers to one question, compared row by row."""

import math
from collections.abc import Sequence
from pathlib import Path

import duckdb

# exp() of the C library and of Java differ in the last digit; the formula that they enter is good to
# 7.5e-8 (Abramowitz and Stegun 26.2.17), and a chance is compared to 1e-12
CHANCES = {"reading_facts": ("p_in", "p_out")}
NEAR = 1e-12
TABLES = (
    "SELECT table_name FROM duckdb_tables() "
    "WHERE database_name = 'ours' AND schema_name = 'core' ORDER BY table_name"
)


def published(folder: Path) -> Path:
    """Return the file of the newest version of a database folder."""
    return folder / (folder / "CURRENT").read_text(encoding="utf-8").strip()


def differing_rows(ours: Path, theirs: Path) -> dict[str, int]:
    """Return for every table of core how many rows are in one version and not in the other."""
    with duckdb.connect() as connection:
        connection.execute(f"ATTACH '{ours}' AS ours (READ_ONLY)")
        connection.execute(f"ATTACH '{theirs}' AS theirs (READ_ONLY)")
        tables = [name for (name,) in connection.execute(TABLES).fetchall()]
        return {name: _differing(connection, name) for name in tables}


def _differing(connection: duckdb.DuckDBPyConnection, table: str) -> int:
    chances = CHANCES.get(table, ())
    left_out = f"EXCLUDE ({', '.join(chances)})" if chances else ""
    ours, theirs = (f"SELECT * {left_out} FROM {side}.core.{table}" for side in ("ours", "theirs"))
    count = connection.execute(
        f"SELECT count(*) FROM (({ours} EXCEPT ALL {theirs}) UNION ALL ({theirs} EXCEPT ALL {ours}))"
    ).fetchall()[0][0]
    for chance in chances:
        count += connection.execute(
            f"SELECT count(*) FROM ours.core.{table} AS ours "
            f"INNER JOIN theirs.core.{table} AS theirs USING (row_id, item_no) "
            f"WHERE abs(ours.{chance} - theirs.{chance}) > {NEAR} "
            f"OR (ours.{chance} IS NULL) <> (theirs.{chance} IS NULL)"
        ).fetchall()[0][0]
    return count


def differing_answers(ours: Sequence[tuple], theirs: Sequence[tuple]) -> int:
    """Return how many rows of two ordered answers differ; doubles may in the thirteenth digit.

    Sums of doubles depend on the order in which they are added, exp and ln on the library.
    """
    if len(ours) != len(theirs):
        return max(len(ours), len(theirs))
    return sum(not all(map(_alike, *rows)) for rows in zip(ours, theirs, strict=True))


def _alike(ours: object, theirs: object) -> bool:
    if isinstance(ours, float) and isinstance(theirs, float):
        return math.isclose(ours, theirs, rel_tol=NEAR, abs_tol=NEAR)
    return ours == theirs
