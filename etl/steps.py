"""The SQL steps of a load, in order: raw rows → lookups, staged tables, core tables, facts."""

from collections.abc import Callable
from pathlib import Path

import duckdb
import pyarrow as pa

import sql
from etl import incremental as added
from etl import prepared
from etl.engines.base import Engine, OpensEngine, file_of, here
from etl.readings import parse_value
from etl.words.understand import understand

TO_READING_TEXTS = (
    "core/tables",
    "core/vocabulary",
    "staged/sources",
    "staged/same_names",
    "staged/words",
    "staged/shared_numbers",
    "staged/date_texts",
    "staged/amount_texts",
    "staged/minute_texts",
    "staged/job_lines",
    "staged/jobs_of_lines",
    "staged/name_texts",
    "staged/fuel_hints",
    "staged/jobs",
    "staged/jobs_left_out",
    "staged/job_texts",
    "staged/symptom_texts",
    "core/jobs",
    "staged/job_keys",
    "staged/part_texts",
    "staged/visits",
    "staged/visit_keys",
    "staged/visits_left_out",
    "core/visits",
    "staged/readings",
    "staged/reading_texts",
)
UNDERSTOOD = {  # texts that Python understands right after the step that lists them
    "staged/name_texts": ("staged.name_texts", "staged.name_meanings"),
    "staged/job_texts": ("staged.job_texts", "staged.job_meanings"),
    "staged/part_texts": ("staged.part_texts", "staged.part_meanings"),
}
TO_FACTS = (
    "staged/parsed_readings",
    "staged/readings_left_out",
    "core/readings",
    "staged/part_lines",
    "staged/part_lines_left_out",
    "core/part_lines",
    "core/problems",
    "core/waiting_reasons",
    "core/unknown_words",
    "core/accounts",
    "core/dataset",
    "core/callback_links",
    "staged/chain_ends",
    "core/job_facts",
    "core/jobs_in",
    "core/no_fault_in",
    "core/part_needs",
    "core/needs_in",
    "core/limits",
    "core/limit_words",
    "core/meters",
    "staged/service_volts",
    "staged/test_units",
    "staged/reading_cases",
    "staged/noted_types",
    "staged/register_limits",
    "staged/own_limits",
    "staged/windings",
    "staged/reading_keys",
    "core/reading_verdicts",
    "core/taken_readings",
    "core/reading_facts",
    "core/readings_in",
    "core/taken_in",
    "core/settled_readings_in",
    "core/first_tests",
    "core/tests_in",
    "core/fitted_parts",
    "core/companions",
    "core/corrections",
    "core/missed_readings",
    *added.WHOLE_SHOP_STEPS,
    "core/patterns_in",
    "core/fixes_in",
    "core/change_jobs_in",
    "core/unwritten_in",
    "core/mix_ups_in",
)


def build_core(
    connection: duckdb.DuckDBPyConnection,
    settings: dict[str, str],
    progress: Callable[[str], None] = lambda step: None,
    engine: OpensEngine = here,
) -> None:
    """Build everything after the raw tables: lookups, staged tables, core tables, facts."""
    _attach_staged(connection)
    prepared.begin(connection)
    connection.execute("CREATE TABLE core.settings (key VARCHAR PRIMARY KEY, value VARCHAR)")
    for key, value in written_settings(settings).items():
        connection.execute(
            "INSERT INTO core.settings VALUES ($key, $value)", {"key": key, "value": value}
        )
    with engine(connection) as steps:
        for macros in prepared.MACROS:
            steps.learn(macros)
        for step in TO_READING_TEXTS:
            progress(step)
            steps.run(step)
            if step in UNDERSTOOD:
                _understand(connection, steps, *UNDERSTOOD[step])
        progress("parsing readings")
        steps.fetch("staged.reading_texts")
        _parse_values(connection)
        steps.give("staged.parsed_values")
        for step in TO_FACTS:
            progress(step)
            steps.run(step)


def _understand(
    connection: duckdb.DuckDBPyConnection, steps: Engine, texts: str, meanings: str
) -> None:
    """Understand each distinct text once; SQL joins the result back."""
    steps.fetch(texts)
    understand(connection, texts, meanings)
    steps.give(meanings)


def _attach_staged(connection: duckdb.DuckDBPyConnection) -> None:
    """Attach an empty work database `staged` next to the file (in memory for one in memory).

    Its content is needed only while a version is built; its file goes with the block of
    publish.building.
    """
    connection.execute("DETACH DATABASE IF EXISTS staged")
    file = file_of(connection)
    work = Path(f"{file}.staged") if file else None
    if work:
        work.unlink(missing_ok=True)
    connection.execute(
        "ATTACH $path AS staged (RECOVERY_MODE no_wal_writes)", {"path": str(work or ":memory:")}
    )


def _parse_values(connection: duckdb.DuckDBPyConnection) -> None:
    """Parse each distinct written value once; SQL joins the result back."""
    texts = connection.execute(
        "SELECT text_id, value, unit, quantity, decimal_sign, fold_case FROM staged.reading_texts"
    ).fetchall()
    parsed = []
    for text_id, value, unit, quantity, decimal, fold_case in texts:
        result = parse_value(
            value,
            unit=unit or None,
            quantity=quantity or None,
            decimal=decimal,
            fold_case=fold_case,
        )
        parsed.append(
            {
                "text_id": text_id,
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
        connection.execute("INSERT INTO staged.parsed_values BY NAME SELECT * FROM landing")
        connection.unregister("landing")


def written_settings(settings: dict[str, str] | None) -> dict[str, str]:
    """Return what core.settings holds: the settings, and which program used them."""
    own = {"schema_version": sql.SCHEMA_VERSION, "program": added.program()}
    return own | (settings or {})
