"""measure("first_time_fix", …) → DataFrame: the only file here that opens the database.

A database is a folder; the pointer in it names the version. Each version is opened once, read-only
and locked down: no file, no network, no setting can be reached from it.
"""

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from functools import cache, lru_cache
from pathlib import Path
from threading import Lock
from typing import Any

import duckdb
import pandas as pd

import sql
from dashboard.access import policy as access
from dashboard.access.names import Sight, sight_of
from dashboard.database import version as served
from dashboard.database.cache import once
from dashboard.diagnosis import compute as diagnosis
from dashboard.errors import UserError
from dashboard.fairness import compute as fairness
from dashboard.pricing import rates as pricing
from dashboard.readings import compute as reading_review
from dashboard.settings.file import read_settings
from dashboard.van_stock import compute as stocking

GROUPS = ("month", "technician", "branch", "appliance_kind", "symptom", "repair_code", "cause")
MEASURES = (
    "month_review",
    "first_time_fix",
    "callbacks",
    "callback_curve",
    "month_signals",
    "repeat_visits",
    "early_parts",
    "root_cause_mix",
    "misdiagnosis",
    "mix_ups",
    "power_of_tests",
    "order_of_tests",
    "reading_distribution",
    "limit_review",
    "meter_check",
    "flat_rate",
    "van_stock",
)
# what SQL cannot do: table, rows of other files → table
FINISHERS = diagnosis.FINISHERS | fairness.FINISHERS | reading_review.FINISHERS
BY_SETTINGS = {  # table, settings → table
    "flat_rate": pricing.flat_rate,
    "van_stock": stocking.van_stock,
}
MOST_BYTES = 512 * 1024 * 1024  # of rows remembered, and again of finished measures
VERSIONS_HELD = 2  # the published one, and the one before it for who still reads it
_held: deque[str] = deque(maxlen=VERSIONS_HELD)
_locking_down = Lock()  # pages run in threads: two can meet a new version at once


class NoData(UserError):
    """Nothing to read yet, or it cannot be read; the message says what to do."""


def bytes_of(table: pd.DataFrame) -> int:
    """Return what a table takes in memory."""
    return int(table.memory_usage(deep=True).sum())


@dataclass(frozen=True)
class Filters:
    """The common filters; an empty tuple or None means all. Both days belong to the period."""

    from_date: date | None = None
    to_date: date | None = None
    branch: tuple[str, ...] = ()
    technician: tuple[str, ...] = ()
    appliance_kind: tuple[str, ...] = ()
    symptom: tuple[str, ...] = ()

    def parameters(self) -> dict[str, Any]:
        """Return the filters as query parameters."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        return {k: list(v) if isinstance(v, tuple) else v for k, v in values.items()}


class Damaged(NoData):
    """A version turned out to be damaged; asked again, the last good one answers."""


def version(folder: Path) -> Path | None:
    """Return the database file to read, or None when nothing was loaded yet.

    While the published one cannot be read it is the last good one before it. Raises NoData.
    """
    try:
        return served.version(folder)
    except served.PublishError as problem:
        raise NoData(str(problem)) from None


def notice(folder: Path) -> str | None:
    """Return what a reader must be told while the last good version is read; else None."""
    return served.notice(folder)


def measure(
    folder: Path, name: str, filters: Filters | None = None, **parameters: Any
) -> pd.DataFrame:
    """Return one measure as a table, columns as in the README.

    `parameters` are those that the measure's SQL names beside the filters: group_by, window_days, …
    The settings are among them, with the values of ohmhours.toml unless given here.
    An empty database gives an empty table. Raises NoData when there is no database, access.Refused
    when it is not for who asks.
    """
    path = _published(folder)
    parameters = _defaults(folder) | parameters
    asked = repr((access.reader().view, name, filters or Filters(), sorted(parameters.items())))
    return _finished(_Asked(str(path), asked, folder, name, filters, parameters)).copy()


@dataclass(frozen=True)
class _Asked:
    """A measure of one version with all that decides it; `path` and `asked` tell it from others."""

    path: str
    asked: str
    folder: Path = field(compare=False)
    name: str = field(compare=False)
    filters: Filters | None = field(compare=False)
    parameters: dict[str, Any] = field(compare=False)


@once(MOST_BYTES, bytes_of)
def _finished(asked: _Asked) -> pd.DataFrame:
    """Return the measure, finished by what SQL cannot do; once for each version and question."""

    def rows(name: str) -> pd.DataFrame:
        return run(asked.folder, name, asked.filters, **asked.parameters)

    table = rows(f"measures/{asked.name}")
    if asked.name in BY_SETTINGS:
        return BY_SETTINGS[asked.name](table, asked.parameters)
    return FINISHERS[asked.name](table, rows) if asked.name in FINISHERS else table


def _defaults(folder: Path) -> dict[str, Any]:
    """Return the settings, with what follows from them under the names that the SQL uses."""
    settings = read_settings(folder)
    return settings | {
        "window_days": settings["callback_window_days"],
        "labour_per_hour": diagnosis.labour_per_hour(settings),
        "use_recorded": False,
    }


def run(folder: Path, name: str, filters: Filters | None = None, **parameters: Any) -> pd.DataFrame:
    """Return the rows of one SQL file; excess parameters are left out, missing ones are NULL.

    Every query goes through here: what who asks may not ask raises access.Refused, and names that
    are not theirs to see come as aliases.
    """
    path = str(_published(folder))
    access.check_query(name, _parameters_of(name))
    sight = _sight(folder, path)
    given = sight.asked((filters or Filters()).parameters() | parameters)
    wanted = {key: given.get(key) for key in _parameters_of(name)}
    _check_own_jobs(path, wanted)
    return sight.shown(_rows(path, name, _frozen(wanted)).copy())


def _sight(folder: Path, path: str) -> Sight:
    def names() -> list[str]:
        return _rows(path, "access/technicians", ())["technician"].tolist()

    return sight_of(access.reader(), folder, names)


def _check_own_jobs(path: str, wanted: Mapping[str, Any]) -> None:
    """Raise Refused when a technician asks for a job that he did not work on."""
    own = access.reader().technician
    for job in (wanted[key] for key in access.JOB_NUMBERS & set(wanted)):
        asked = (("job_id", job), (access.TECHNICIAN, own))
        if own is not None and _rows(path, "access/own_job", asked).empty:
            raise access.Refused(f"Job “{job}” is not among those that you worked on.")


def _published(folder: Path) -> Path:
    """Return the newest version that opens: one that does not is found out and passed over."""
    while True:
        path = version(folder)
        if path is None:
            raise NoData("nothing was loaded yet: run ohmhours load PATH, or ohmhours demo")
        try:
            _connection(str(path))
            return path
        except Damaged:
            continue


def records(folder: Path, name: str, **parameters: Any) -> list[dict[str, Any]]:
    """Return the rows of one SQL file as dictionaries, NULL as None."""
    table = run(folder, name, **parameters).astype(object)
    return table.where(table.notna(), None).to_dict("records")


@cache
def _parameters_of(name: str) -> frozenset[str]:
    (statement,) = duckdb.extract_statements(sql.text(name))
    return frozenset(statement.named_parameters)


def _frozen(values: Mapping[str, Any]) -> tuple:
    return tuple(
        (key, tuple(value) if isinstance(value, list) else value)
        for key, value in sorted(values.items())
    )


@once(MOST_BYTES, bytes_of)
def _rows(path: str, name: str, parameters: tuple) -> pd.DataFrame:
    values = {key: list(v) if isinstance(v, tuple) else v for key, v in parameters}
    cursor = _connection(path).cursor()
    try:
        return cursor.execute(sql.text(name), values).df()
    except duckdb.Error as error:
        raise _told(Path(path), error) from None
    finally:
        cursor.close()


@lru_cache(maxsize=VERSIONS_HELD)
def _connection(path: str) -> duckdb.DuckDBPyConnection:
    if why := served.foreign(Path(path)):
        raise Damaged(served.set_aside(Path(path), why))
    try:
        connection = duckdb.connect(
            path,
            read_only=True,
            config={
                "enable_external_access": "false",
                "autoload_known_extensions": "false",
                "autoinstall_known_extensions": "false",
                "python_enable_replacements": "false",
            },
        )
        if why := served.other_schema(connection):
            raise Damaged(served.set_aside(Path(path), why))
    except duckdb.Error as error:
        told = _told(Path(path), error)
        if told is error:  # not its content: no permission, too many open files
            told = NoData(f"the database cannot be opened: {str(error).splitlines()[0][:300]}")
        raise told from None
    _lock_down(connection)
    _forget_all_before(path)
    return connection


def _forget_all_before(path: str) -> None:
    """Hold this version and the last one before it; what was answered of others is let go."""
    if path in _held:  # two threads met it at once, or it was opened again
        return
    _held.append(path)
    _rows.forget(lambda question: question[0] not in _held)
    _finished.forget(lambda question: question[0].path not in _held)


def _lock_down(connection: duckdb.DuckDBPyConnection) -> None:
    """Allow no other setting; a version that another thread holds open is locked already."""
    with _locking_down:
        found = connection.execute("SELECT current_setting('lock_configuration')").fetchall()
        if found != [(True,)]:
            connection.execute("SET TimeZone = 'UTC'; SET lock_configuration = true")


def _told(path: Path, error: duckdb.Error) -> Exception:
    """Return a damaged file's error as one line with the remedy, any other as it is."""
    why = served.damage(error)
    return Damaged(served.set_aside(path, why)) if why else error
