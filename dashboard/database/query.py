"""run(snapshot, name, filters, …) → rows of one SQL file: access checked, names applied."""

from collections.abc import Mapping
from functools import cache
from typing import Any, Protocol

import duckdb
import pandas as pd

import sql
from dashboard.access.names import Sight, sight_of
from dashboard.access.page_roles import TECHNICIAN
from dashboard.access.queries import JOB_NUMBERS, check_query
from dashboard.access.reader import Refused
from dashboard.database.cache import bytes_of, cached
from dashboard.database.connection import connection, shown_error
from dashboard.database.snapshot import Snapshot

MOST_BYTES = 512 * 1024 * 1024  # of cached rows


class AsParameters(Protocol):
    """Anything that gives query parameters, such as dashboard.filters.Filters."""

    def parameters(self) -> dict[str, Any]: ...


def run(
    snapshot: Snapshot, name: str, filters: AsParameters | None = None, **parameters: Any
) -> pd.DataFrame:
    """Return the rows of one SQL file; excess parameters are left out, missing ones are NULL.

    `window_days`, `wrong_seen_share` and `slabs` are the settings' unless they are given. Every
    query goes through here: one that the snapshot's reader may not run raises access.Refused, and
    names that the reader may not see come as aliases. Raises Damaged when the version is
    damaged.
    """
    names = parameters_of(name)
    check_query(snapshot.reader, name, names)
    sight = _sight(snapshot)
    common = filters.parameters() if filters else {}
    settings = {
        "window_days": snapshot.window_days,
        "wrong_seen_share": snapshot.settings["wrong_seen_share"],
        "slabs": snapshot.slabs,
    }
    given = sight.asked(settings | common | parameters)
    wanted = {key: given.get(key) for key in names}
    _check_own_jobs(snapshot, wanted)
    return sight.shown(_rows(snapshot.version, name, _frozen(wanted)).copy())


def records(snapshot: Snapshot, name: str, **parameters: Any) -> list[dict[str, Any]]:
    """Return the rows of one SQL file as dictionaries, NULL as None."""
    table = run(snapshot, name, **parameters).astype(object)
    rows = table.where(table.notna(), None).to_dict("records")
    return [{str(column): cell for column, cell in row.items()} for row in rows]


def _sight(snapshot: Snapshot) -> Sight:
    def names() -> list[str]:
        known: list[str] = _rows(snapshot.version, "access/technicians", ())["technician"].tolist()
        return known

    return sight_of(snapshot.reader, snapshot.folder, names)


def _check_own_jobs(snapshot: Snapshot, wanted: Mapping[str, Any]) -> None:
    """Raise Refused when a technician asks for a job that he did not work on."""
    own = snapshot.reader.technician
    for job in (wanted[key] for key in JOB_NUMBERS & set(wanted)):
        asked = (("job_id", job), (TECHNICIAN, own))
        if own is not None and _rows(snapshot.version, "access/own_job", asked).empty:
            raise Refused(f"Job “{job}” is not among those that you worked on.")


@cache
def parameters_of(name: str) -> frozenset[str]:
    """Return the names of the parameters that one SQL file takes."""
    (statement,) = duckdb.extract_statements(sql.text(name))
    return frozenset(statement.named_parameters)


def _frozen(values: Mapping[str, Any]) -> tuple[tuple[str, Any], ...]:
    return tuple(
        (key, tuple(value) if isinstance(value, list) else value)
        for key, value in sorted(values.items())
    )


@cached(MOST_BYTES, bytes_of)
def _rows(version: Any, name: str, parameters: tuple[tuple[str, Any], ...]) -> pd.DataFrame:
    """Return the rows of a version before any reader's restriction: never call it past run()."""
    values = {key: list(v) if isinstance(v, tuple) else v for key, v in parameters}
    cursor = connection(version).cursor()
    try:
        return cursor.execute(sql.text(name), values).df()
    except duckdb.Error as error:
        raise shown_error(version, error) from None
    finally:
        cursor.close()
