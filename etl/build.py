"""Files → one DuckDB file: land raw rows, run the steps in order, check the account, publish."""

import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from importlib.resources import as_file, files
from pathlib import Path

import duckdb
import pyarrow as pa
import pyarrow.csv

import sql
from etl import publish
from etl.account import Account, account_of
from etl.claim import claims_of
from etl.identity import unit_key
from etl.mapping import Mapping
from etl.read import expand
from etl.readings import parse_value
from etl.store import copy_raw, land_all

SCHEMA_VERSION = "1"

TO_READING_TEXTS = (
    "core/text_macros",
    "core/rate_macros",
    "core/tables",
    "core/vocabulary",
    "staged/sources",
    "staged/jobs",
    "core/job_rows",
    "core/symptom_texts",
    "core/jobs",
    "core/job_keys",
    "staged/visits",
    "core/visit_rows",
    "core/visits",
    "staged/readings",
)
TO_FACTS = (
    "staged/parsed_readings",
    "core/reading_rows",
    "core/readings",
    "staged/part_lines",
    "core/part_rows",
    "core/part_lines",
    "core/problems",
    "core/unknown_words",
    "core/accounts",
    "core/dataset",
    "core/callback_links",
    "core/job_facts",
    "core/jobs_in",
    "core/limits",
    "core/reading_facts",
    "core/pointing_tests",
    "core/part_evidence",
    "core/job_patterns",
    "core/patterns_in",
)


class LoadError(Exception):
    """A load that cannot be done; nothing was changed."""


def load(
    paths: Sequence[str | Path],
    folder: Path,
    *,
    mapping: Mapping | None = None,
    settings: dict[str, str] | None = None,
    is_check: bool = False,
    is_strict: bool = False,
    today: date | None = None,
    progress: Callable[[str], None] = lambda step: None,
) -> Account:
    """Load the files into the database folder and publish the new version.

    With `is_check` everything is done but publishing; with `is_strict` a row in quarantine is an
    error. Returns the account of this load's files.
    Raises LoadError, MappingError, etl.read.UnreadableFile or publish.PublishError; then the last
    version stands as it was.
    """
    if is_check:
        with tempfile.TemporaryDirectory() as scratch:
            target = Path(scratch) / "check.duckdb"
            previous = publish.current(folder) if folder.exists() else None
            home = folder if folder.exists() else Path(scratch)
            account = _build(target, previous, paths, home, mapping, settings, today, progress)
            _check_strict(account, is_strict)
            return replace(account, published=False)
    folder.mkdir(parents=True, exist_ok=True)
    with publish.only_writer(folder), publish.building(folder) as target:
        previous = publish.current(folder)
        account = _build(target, previous, paths, folder, mapping, settings, today, progress)
        _check_strict(account, is_strict)
        return account


def _check_strict(account: Account, is_strict: bool) -> None:
    if is_strict and account.quarantined:
        raise LoadError(
            f"{account.quarantined:,} rows would go to quarantine and --strict was asked for; "
            "see ohmhours load --check for the reasons; nothing was published"
        )


def _build(
    target: Path,
    previous: Path | None,
    paths: Sequence[str | Path],
    folder: Path,
    mapping: Mapping | None,
    settings: dict[str, str] | None,
    today: date | None,
    progress: Callable[[str], None],
) -> Account:
    claims, unclaimed = claims_of(expand(paths), mapping, folder / "mappings", progress)
    if not claims:
        names = ", ".join(unclaimed) or "nothing was found"
        raise LoadError(
            f"no file that a mapping or the canonical names claim: {names}; "
            "try ohmhours load --check FILE for a proposed mapping"
        )
    connection = duckdb.connect(str(target))
    try:
        copy_raw(connection, previous)
        load_no, repeated = land_all(connection, claims, unit_key(folder), today)
        build_core(connection, settings or {}, progress)
        account = account_of(connection, load_no, repeated, unclaimed)
        account.check_balance()
        connection.execute("CHECKPOINT")
        return account
    finally:
        connection.close()


def build_core(
    connection: duckdb.DuckDBPyConnection,
    settings: dict[str, str],
    progress: Callable[[str], None] = lambda step: None,
) -> None:
    """Build everything after the raw tables: lookups, staged views, core tables, facts."""
    connection.execute("CREATE SCHEMA lookups; CREATE SCHEMA staged; CREATE SCHEMA core")
    _load_lookups(connection)
    connection.execute("CREATE TABLE core.settings (key VARCHAR PRIMARY KEY, value VARCHAR)")
    for key, value in ({"schema_version": SCHEMA_VERSION} | settings).items():
        connection.execute(
            "INSERT INTO core.settings VALUES ($key, $value)", {"key": key, "value": value}
        )
    for step in TO_READING_TEXTS:
        progress(step)
        connection.execute(sql.text(step))
    progress("parsing readings")
    _parse_values(connection)
    for step in TO_FACTS:
        progress(step)
        connection.execute(sql.text(step))


def _load_lookups(connection: duckdb.DuckDBPyConnection) -> None:
    with as_file(files("sql") / "lookups") as folder:
        for path in sorted(folder.glob("*.csv")):
            table = pyarrow.csv.read_csv(
                path, convert_options=pyarrow.csv.ConvertOptions(strings_can_be_null=True)
            )
            connection.from_arrow(table).create(f"lookups.{path.stem}")


def _parse_values(connection: duckdb.DuckDBPyConnection) -> None:
    """Parse each distinct written value once; SQL joins the result back."""
    texts = connection.execute(sql.text("core/reading_texts")).fetchall()
    parsed = []
    for value, unit, quantity, decimal, fold_case in texts:
        result = parse_value(
            value,
            unit=unit or None,
            quantity=quantity or None,
            decimal=decimal,
            fold_case=fold_case,
        )
        parsed.append(
            {
                "value": value,
                "unit": unit,
                "quantity": quantity,
                "decimal_sign": decimal,
                "fold_case": fold_case,
                "outcome": result.outcome,
                "base_value": result.value,
                "base_unit": result.unit,
                "is_open": result.is_open,
                "is_closed": result.is_closed,
                "comparator": result.comparator,
                "flags": " ".join(result.flags),
                "problem": result.problem,
            }
        )
    if parsed:
        connection.register("landing", pa.Table.from_pylist(parsed))
        connection.execute("INSERT INTO core.parsed_values BY NAME SELECT * FROM landing")
        connection.unregister("landing")
