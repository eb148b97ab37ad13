"""Two published versions, or two answers to one question, compared row by row."""

import math
from collections.abc import Sequence
from pathlib import Path

import duckdb

# Doubles that may differ in the last digits, by the key of their table: a chance holds exp(), which is
# not the same in the C library and in Java (its formula is good to 7.5e-8: Abramowitz and Stegun
# 26.2.17); a sum depends on the order in which many machines add.
NEAR_COLUMNS = {
    "reading_facts": (("row_id", "item_no"), ("p_in", "p_out")),  # a view
    "job_facts": (
        ("job_id",),
        ("labour_min", "travel_min", "trip_min", "parts_charged", "parts_cost"),
    ),
    "part_needs": (("job_id", "part_place"), ("all_min", "unit_cost")),
    "fitted_parts": (("job_id", "component"), ("pieces", "parts_cost")),
    "part_evidence": (("job_id", "component"), ("pieces", "parts_cost")),
    "corrections": (("job_id",), ("lost_min",)),
    "job_patterns": (("job_id",), ("corrected_min", "callback_min", "unneeded_parts_cost")),
}
NEAR = 1e-12
# what only one engine's hash() gives, and chances that are compared in core.reading_facts
OF_ONE_ENGINE = {
    "taken_readings": ("verdict_key",),
    "reading_verdicts": ("verdict_key", "p_in", "p_out"),
}
TABLES = (
    "SELECT table_name FROM duckdb_tables() "
    "WHERE database_name = 'ours' AND schema_name = 'core' "
    "UNION SELECT 'reading_facts' ORDER BY table_name"
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
    key, near = NEAR_COLUMNS.get(table, ((), ()))
    other = near or OF_ONE_ENGINE.get(table, ())
    left_out = f"EXCLUDE ({', '.join(other)})" if other else ""
    ours, theirs = (f"SELECT * {left_out} FROM {side}.core.{table}" for side in ("ours", "theirs"))
    count = connection.execute(
        f"SELECT count(*) FROM (({ours} EXCEPT ALL {theirs}) UNION ALL ({theirs} EXCEPT ALL {ours}))"
    ).fetchall()[0][0]
    for column in near:
        count += connection.execute(
            f"SELECT count(*) FROM ours.core.{table} AS ours "
            f"INNER JOIN theirs.core.{table} AS theirs USING ({', '.join(key)}) "
            f"WHERE abs(ours.{column} - theirs.{column}) > {NEAR} * greatest(1, abs(ours.{column})) "
            f"OR (ours.{column} IS NULL) <> (theirs.{column} IS NULL)"
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
