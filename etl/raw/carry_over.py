"""Raw rows of an older schema, completed for this one as they were understood then."""

import json
import os
import shutil
from contextlib import closing
from pathlib import Path

import duckdb

import sql
from etl.folder.schema import OF_THE_ATTACHED, schema_of
from etl.mapping.time_unit import time_unit

FIELDS = {"minutes_on_job": "job_time_unit", "travel_minutes": "travel_time_unit"}


def keep_old_schema(previous: Path | None) -> str:
    """Keep a version of an older schema under a name that no later load removes; say so.

    Returns "" where the last version is none of an older schema.
    """
    if previous is None:
        return ""
    with closing(duckdb.connect()) as connection:
        connection.execute("ATTACH $path AS old (READ_ONLY)", {"path": str(previous)})
        schema = schema_of(connection, OF_THE_ATTACHED)
    if schema.version == sql.SCHEMA_VERSION:
        return ""
    kept = previous.with_name(f"schema-{schema.version}-{previous.name}")
    if not kept.exists():
        try:
            os.link(previous, kept)
        except OSError:  # a file system without links
            shutil.copyfile(previous, kept)
    return (
        f"the records of schema {schema.version} were carried over to schema {sql.SCHEMA_VERSION}; "
        f"the old version is kept as {kept.name}"
    )


def carry_over(connection: duckdb.DuckDBPyConnection) -> None:
    """Fill in what schema 4 did not store of mappings and sources; the version is attached as old.

    All its mappings shared one numbering of jobs, so they keep sharing one. Its bare times were
    minutes, except where the header names hours: those were taken for minutes and are set right.
    """
    if schema_of(connection, OF_THE_ATTACHED).version != "4":
        return
    connection.execute(sql.text("raw/carry_over_4"))
    sources = connection.execute("SELECT source_id, header FROM raw.sources").fetchall()
    for source_id, header in sources:
        for field, column in FIELDS.items():
            headers = [name for name, of in json.loads(header) if of == field]
            if headers and time_unit(headers) == "hours":
                connection.execute(SET_HOURS[column], {"source_id": source_id})


SET_HOURS = {
    "job_time_unit": "UPDATE raw.sources SET job_time_unit = 'hours' WHERE source_id = $source_id",
    "travel_time_unit": (
        "UPDATE raw.sources SET travel_time_unit = 'hours' WHERE source_id = $source_id"
    ),
}
