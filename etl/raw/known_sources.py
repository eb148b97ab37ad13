"""What is known already of a file's bytes: how many rows, and on which day it was there."""

from contextlib import closing, suppress
from datetime import date
from pathlib import Path

import duckdb

import sql
from etl.mapping.match import Claim


def known_rows(
    connection: duckdb.DuckDBPyConnection, claim: Claim, unsettled: frozenset[str]
) -> int | None:
    """Count the rows of a source with the same bytes, mapping and columns; None without one."""
    if claim.content_hash in unsettled:
        return None
    for _, mapping, columns_hash, rows in _same_table(connection, claim):
        if (mapping, columns_hash) == (claim.mapping.name, claim.columns_hash):
            return rows
    return None


def _same_table(
    connection: duckdb.DuckDBPyConnection, claim: Claim
) -> list[tuple[int, str, str, int]]:
    """Return (source id, mapping, columns hash, rows) of sources of the same bytes and table."""
    return connection.execute(sql.text("raw/same_table"), _place(claim)).fetchall()


def _place(claim: Claim) -> dict[str, str | None]:
    return {
        "content_hash": claim.content_hash,
        "sheet": claim.source.shown_sheet,
        "table_name": claim.table.table,
    }


def waiting(previous: Path | None, day: date) -> frozenset[str]:
    """Return the contents that are read again: rows waited for a day that has come by now.

    The clock may have been behind at their first load. An older schema gives none: it is rebuilt.
    """
    if previous is None:
        return frozenset()
    with closing(duckdb.connect()) as connection, suppress(duckdb.Error):
        connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(previous)})
        found = connection.execute(sql.text("raw/waits_for_its_day"), {"day": day}).fetchall()
        return frozenset(content for (content,) in found)
    return frozenset()


def forget_replaced(
    connection: duckdb.DuckDBPyConnection, claims: list[Claim], unsettled: frozenset[str]
) -> None:
    """Take out rows that the same bytes gave for the same table under other columns or another
    mapping: they are read again. What the same file gave for another table stays."""
    wanted = {
        (c.content_hash, c.mapping.name, c.columns_hash)
        for c in claims
        if c.content_hash not in unsettled
    }
    for claim in claims:
        for source_id, mapping, columns_hash, _ in _same_table(connection, claim):
            if (claim.content_hash, mapping, columns_hash) not in wanted:
                connection.execute("SET VARIABLE source_id = $source_id", {"source_id": source_id})
                connection.execute(sql.text("raw/forget"))
