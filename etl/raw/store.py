"""The raw tables of a new version: copied from the last one, then what is new is added."""

from collections.abc import Iterable
from dataclasses import astuple, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import duckdb

import sql
from etl.folder.errors import REMEDY, UserError, is_damage
from etl.folder.schema import FOREIGN, OF_THE_ATTACHED, is_database, schema_of
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.match import Claim
from etl.raw.carry_over import carry_over
from etl.raw.known_sources import forget_replaced, known_rows, waiting
from etl.raw.land import Landed, header_of, land, unmapped
from etl.raw.land_parts import only_parts
from etl.raw.prefetch import ClaimedRows
from etl.raw.store_mapping import store_mapping, stored_numbering

# the latest day that it is anywhere (tz database): no shop's own date is in the future for it
EASTERNMOST = timedelta(hours=14)
# an older version whose raw tables lack what this one cannot do without
TOO_OLD = (duckdb.CatalogException, duckdb.BinderException, duckdb.ConstraintException)


class LoadError(UserError):
    """A load that cannot be done; nothing was changed."""


def copy_raw(connection: duckdb.DuckDBPyConnection, previous: Path | None) -> None:
    """Create the raw tables and fill them from the last version, also one of an older schema.

    Raises LoadError, with the remedy, when it is damaged, newer, or not made by this program.
    """
    connection.execute(sql.text("raw/tables"))
    if previous is None:
        return
    if not is_database(previous):
        raise LoadError(f"{previous}: {FOREIGN}; nothing was changed; {REMEDY}")
    try:
        connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(previous)})
        _check_schema(connection, previous)
        connection.execute(sql.text("raw/copy"))
        carry_over(connection)
        connection.execute("DETACH old")
    except TOO_OLD:
        raise LoadError(
            f"{previous}: too old for this version of the program; "
            "load all files again into a new --db, nothing was changed"
        ) from None
    except duckdb.Error as error:
        if not is_damage(error):
            raise
        raise LoadError(
            f"{previous}: the last version is damaged, nothing was changed; {REMEDY}"
        ) from None


def _check_schema(connection: duckdb.DuckDBPyConnection, previous: Path) -> None:
    schema = schema_of(connection, OF_THE_ATTACHED)
    if schema.is_foreign or schema.is_newer:
        raise LoadError(f"{previous}: {schema.problem}; nothing was changed")


def land_all(
    connection: duckdb.DuckDBPyConnection,
    claims: list[Claim],
    secret: bytes,
    today: date | None,
    previous: Path | None = None,
) -> tuple[int, list[Claim]]:
    """Land what is new; return the number of this load and the claims that were known already.

    Each claim gives up its rows, in the list too. Raises LoadError when a file changed meanwhile,
    or when the clock says a day before that of the last load: its rows would wait in quarantine as
    dated in the future.
    """
    now = datetime.now(UTC)
    day = today or (now + EASTERNMOST).date()
    _check_clock(connection, day)
    unsettled = waiting(previous, day)
    load_no = _number(connection, "SELECT coalesce(max(load_no), 0) + 1 FROM raw.loads")
    connection.execute(
        "INSERT INTO raw.loads VALUES ($load_no, $loaded_at)",
        {"load_no": load_no, "loaded_at": now.replace(tzinfo=None, microsecond=0)},
    )
    repeated = []
    unread = [claim for claim in claims if known_rows(connection, claim, unsettled) is None]
    forget_replaced(connection, claims, unsettled)
    with ClaimedRows(unread) as rows:
        for i, claim in enumerate(claims):
            store_mapping(connection, claim.mapping)
            known = known_rows(connection, claim, unsettled)
            if known is None:
                whole = only_parts(_whole(claim, rows))
                _land_source(connection, whole, load_no, secret, day)
                claims[i] = replace(whole, source=whole.source.head())
            else:
                claims[i] = replace(claim, source=claim.source.head(), row_count=known)
                repeated.append(claims[i])
    return load_no, repeated


def _whole(claim: Claim, rows: ClaimedRows) -> Claim:
    source = rows.of(claim)
    if source is None:
        raise LoadError(
            f"{claim.source.shown_file}: the file was changed while it was read; nothing was "
            "changed here; load it again when it is complete"
        )
    return replace(claim, source=source, row_count=source.row_count)


def next_source(connection: duckdb.DuckDBPyConnection) -> int:
    """Return the number that the next source will have."""
    return _number(connection, "SELECT coalesce(max(source_id), 0) + 1 FROM raw.sources")


def _check_clock(connection: duckdb.DuckDBPyConnection, day: date) -> None:
    (last,) = connection.execute("SELECT max(landed_on) FROM raw.sources").fetchall()[0]
    if last is not None and day < last:
        raise LoadError(
            f"this computer's clock says {day}, the last load was on {last}: set the clock, or "
            "take that load back (ohmhours undo) if its day was wrong; nothing was changed"
        )


def _number(connection: duckdb.DuckDBPyConnection, query: str) -> int:
    number: int = connection.execute(query).fetchall()[0][0]
    return number


def store_accepted(connection: duckdb.DuckDBPyConnection, words: Iterable[AcceptedWord]) -> None:
    """Keep accepted words; they win over those of the mapping's file."""
    for word in words:
        connection.execute(
            "INSERT OR REPLACE INTO raw.accepted_words VALUES (?, ?, ?, ?)", astuple(word)
        )


def withdraw_accepted(connection: duckdb.DuckDBPyConnection, words: Iterable[AcceptedWord]) -> None:
    """Take back accepted words; raises LoadError for one that was never accepted."""
    for word in words:
        (gone,) = connection.execute(
            "DELETE FROM raw.accepted_words WHERE mapping = $mapping AND field = $field "
            "AND word = $word RETURNING 1",
            {"mapping": word.mapping, "field": word.field, "word": word.word},
        ).fetchone() or (0,)
        if not gone:
            raise LoadError(
                f'"{word.word}" was not accepted for {word.field} of {word.mapping}; '
                "nothing was changed; ohmhours names lists the joined names"
            )


def _land_source(
    connection: duckdb.DuckDBPyConnection, claim: Claim, load_no: int, secret: bytes, day: date
) -> None:
    source_id = next_source(connection)
    landed = land(connection, claim, source_id, secret)
    _store_source(connection, claim, source_id, load_no, landed, day)


def _store_source(
    connection: duckdb.DuckDBPyConnection,
    claim: Claim,
    source_id: int,
    load_no: int,
    landed: Landed,
    day: date,
) -> None:
    connection.execute(
        sql.text("raw/add_source"),
        {
            "source_id": source_id,
            "load_no": load_no,
            "file": claim.source.shown_file,
            "sheet": claim.source.shown_sheet,
            "table_name": claim.table.table,
            "mapping": claim.mapping.name,
            "content_hash": claim.content_hash,
            "columns_hash": claim.columns_hash,
            "header": header_of(claim),
            "unmapped": ", ".join(unmapped(claim)),
            "rows_read": claim.row_count,
            "note_readings": landed.notes.readings,
            "notes_unread": landed.notes.unread,
            "date_system": claim.source.date_system,
            "landed_on": day,
            "numbering": stored_numbering(connection, claim.mapping),
            "has_lines": claim.table.has_lines,
            "job_time_unit": landed.time_units["minutes_on_job"],
            "travel_time_unit": landed.time_units["travel_minutes"],
            "line_time_unit": landed.time_units["line_minutes"],
            "labor_quantity_unit": claim.table.units.get("line_quantity", ""),
            "missing": ", ".join(claim.missing),
        },
    )
