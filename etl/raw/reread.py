"""A mapping that says something else than when rows were stored by it: what would change, and how.

Stored rows keep the mapping they were read by until it is decided that they are read again.
"""

import hashlib
import json
from collections.abc import Callable
from contextlib import closing
from dataclasses import astuple
from pathlib import Path

import duckdb

import sql
from etl.mapping.mapping import Mapping
from etl.raw.own_limits import land_shop_tables
from etl.raw.store import copy_raw
from etl.raw.store_mapping import habits_of, store_mapping, stored_numbering, words_of

EXAMPLES = 3
Build = Callable[[duckdb.DuckDBPyConnection], None]


def is_changed(connection: duckdb.DuckDBPyConnection, mapping: Mapping) -> bool:
    """Say whether rows are stored by a mapping of that name that said something else."""
    name = {"name": mapping.name}
    rows = connection.execute(
        "SELECT count(*) FROM raw.sources WHERE mapping = $name", name
    ).fetchall()[0][0]
    if not rows:
        return False
    numbering = {"numbering": stored_numbering(connection, mapping)}
    kept = connection.execute(
        sql.text("raw/same_habits"), name | habits_of(mapping) | numbering
    ).fetchall()
    words = connection.execute("SELECT * FROM raw.words WHERE mapping = $name", name).fetchall()
    return kept != [(True,)] or set(words) != {astuple(word) for word in words_of(mapping)}


def effect(previous: Path, folder: Path, mappings: list[Mapping], build: Build) -> str:
    """Say what would change in stored rows if they were read by the mappings; "" for nothing."""
    with closing(duckdb.connect()) as connection:
        for name in ("before", "after"):
            connection.execute(USE[name])
            copy_raw(connection, previous)
            if name == "after":
                for mapping in mappings:
                    apply(connection, mapping)
            land_shop_tables(connection, folder)
            build(connection)
        stored, changed, waiting = connection.execute(sql.text("raw/changed_jobs")).fetchall()[0]
        examples = connection.execute(sql.text("raw/changed_examples")).fetchall()
    if not changed and not waiting:
        return ""
    shown = "; ".join(f"job {job}: {what}" for job, what in examples[:EXAMPLES])
    more = f", {waiting:+,} rows in quarantine" if waiting else ""
    return (
        f"mapping {', '.join(m.name for m in mappings)} says something else than when stored rows "
        "were read by it: "
        f"{changed:,} of {stored:,} stored jobs would change{more}"
        + (f" ({shown})" if shown else "")
        + "; reread applies it to them, keep leaves them as they are; another source wants a "
        "name of its own"
    )


USE = {name: f"ATTACH ':memory:' AS {name}; USE {name}" for name in ("before", "after")}


def apply(connection: duckdb.DuckDBPyConnection, mapping: Mapping) -> None:
    """Let the stored rows of the mapping's name be read by it."""
    store_mapping(connection, mapping)
    connection.execute(
        "UPDATE raw.sources SET numbering = $numbering WHERE mapping = $name",
        {"name": mapping.name, "numbering": stored_numbering(connection, mapping)},
    )


def keep(connection: duckdb.DuckDBPyConnection, name: str) -> None:
    """Let the stored rows keep the mapping they were read by, under a name with its fingerprint."""
    habits = connection.execute(
        "SELECT * FROM raw.mappings WHERE mapping = $name", {"name": name}
    ).fetchall()
    words = connection.execute(
        "SELECT field, word, id FROM raw.words WHERE mapping = $name ORDER BY ALL", {"name": name}
    ).fetchall()
    said = json.dumps([habits[0][1:], words], default=str)
    kept = f"{name}@{hashlib.sha256(said.encode()).hexdigest()[:8]}"
    connection.execute("SET VARIABLE kept_name = $kept", {"kept": kept})
    connection.execute("SET VARIABLE own_name = $name", {"name": name})
    connection.execute(sql.text("raw/keep_mapping"))
