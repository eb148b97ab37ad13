"""Random shops for twins: drawn straight into the core tables, facts rebuilt by the real steps.

A whole load takes a second; a twin needs dozens of shops, so only the steps from core.jobs on run.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import duckdb
from hypothesis import strategies

import sql
from etl.raw.own_limits import land_shop_tables
from etl.raw.store import copy_raw
from etl.steps import build_core

START = date(2025, 1, 1)
STEPS = ("core/dataset", "core/callback_links", "staged/chain_ends", "core/job_facts")
SYMPTOMS = {  # symptom: family, as in sql/lookups/symptoms.csv for a washer
    "leaks": "leak",
    "wont_drain": "drain_spin",
    "wont_spin": "drain_spin",
    "maintenance": "no_complaint",
    "unspecified": "unspecified",
}
REASONS = {"completed": "other", "part_not_on_van": "part_needed", "misdiagnosis": "misdiagnosed"}


@dataclass(frozen=True)
class Visit:
    """One trip; minutes may be missing."""

    technician: str
    outcome: str
    is_attended: bool
    travel_min: float | None


@dataclass(frozen=True)
class Job:
    """One job as the core table holds it."""

    job_id: str
    opened_on: date
    opened_minute: int
    closed_on: date | None
    unit_key: str | None
    kind: str
    symptom: str
    disposition: str
    callback_of: str | None
    visits: tuple[Visit, ...]
    parts: tuple[str, ...]
    component: str | None

    @property
    def family(self) -> str:
        """The family of the complaint."""
        return SYMPTOMS[self.symptom]


visits = strategies.builds(
    Visit,
    technician=strategies.sampled_from(["Ann", "Bob"]),
    outcome=strategies.sampled_from(sorted(REASONS)),
    is_attended=strategies.sampled_from([True, True, True, False]),
    travel_min=strategies.sampled_from([None, 10.0, 25.0]),
)


@strategies.composite
def shops(draw: Any) -> list[Job]:
    """Draw up to 14 jobs on three appliances within 500 days: returns, chains, edges are common."""
    number = draw(strategies.integers(0, 14))
    names = [draw(strategies.sampled_from((f"{i}", f"J{i}"))) for i in range(number)]
    return [_job(draw, name, names) for name in names]


def _job(draw: Any, name: str, names: list[str]) -> Job:
    pick = lambda *values: draw(strategies.sampled_from(values))  # noqa: E731
    opened = START + timedelta(days=draw(strategies.integers(0, 60)) * pick(0, 1, 1, 1, 8))
    is_open = pick(*[False] * 9, True)
    closed = None if is_open else opened + timedelta(days=pick(0, 1, 2, 30))
    return Job(
        job_id=name,
        opened_on=opened,
        opened_minute=pick(0, 0, 600, 840),
        closed_on=closed,
        unit_key=pick("u1", "u1", "u2", "u3", None),
        kind=pick("washer", "washer", "dishwasher"),
        symptom=pick("leaks", "leaks", "wont_drain", "wont_spin", *SYMPTOMS),
        disposition="open" if is_open else pick(*["repaired"] * 5, "declined", "cancelled"),
        callback_of=pick(*[None] * 6, pick(*names)),
        visits=tuple(draw(strategies.lists(visits, max_size=3))),
        parts=tuple(pick((), ("P1",), ("P2",), ("P1", "P2"))),
        component=pick("pump", "pump", "belt", None),
    )


class RandomShop:
    """An in-memory database whose core tables are refilled for each shop."""

    def __init__(self) -> None:
        self.connection = duckdb.connect()
        copy_raw(self.connection, None)
        land_shop_tables(self.connection, Path("no shop tables here"))
        build_core(self.connection, {})

    def fill(self, jobs: Iterable[Job]) -> None:
        """Put these jobs in place of the last ones and rebuild the facts."""
        run = self.connection.execute
        run("DELETE FROM core.jobs; DELETE FROM core.visits; DELETE FROM core.part_lines")
        run("DROP TABLE core.dataset; DROP TABLE core.callback_links; DROP TABLE core.job_facts")
        run("DROP TABLE staged.chain_ends")
        for row_id, job in enumerate(jobs):
            self._insert(row_id, job)
        for step in STEPS:
            run(sql.text(step))

    def _insert(self, row_id: int, job: Job) -> None:
        self.connection.execute(
            "INSERT INTO core.jobs BY NAME SELECT $job_id AS job_id, $row_id AS row_id, "
            "'drawn' AS mapping, '' AS numbering, $job_id AS job_number, $opened_on AS opened_on, $closed_on AS closed_on, "
            "$opened_minute AS opened_minute, $component AS cause_component, $component AS root_cause, "
            "$unit_key AS unit_key, $kind AS appliance_kind, $symptom AS symptom, "
            "$family AS symptom_family, $disposition AS disposition, $callback_of AS callback_of",
            {
                "row_id": row_id,
                "family": job.family,
                **{
                    key: value for key, value in vars(job).items() if key not in ("visits", "parts")
                },
            },
        )
        for visit_no, visit in enumerate(job.visits, start=1):
            self.connection.execute(
                "INSERT INTO core.visits BY NAME SELECT $job_id AS job_id, $visit_no AS visit_no, "
                "$row_id AS row_id, $technician AS technician, 30 AS labour_min, "
                "FALSE AS is_labour_derived, $travel_min AS travel_min, $outcome AS outcome, "
                "$is_attended AS is_attended, $reason AS repeat_reason",
                {
                    "job_id": job.job_id,
                    "visit_no": visit_no,
                    "row_id": 100 * row_id + visit_no,
                    "reason": REASONS[visit.outcome],
                    **vars(visit),
                },
            )
        for item_no, part_no in enumerate(job.parts):
            self.connection.execute(
                "INSERT INTO core.part_lines BY NAME SELECT $row_id AS row_id, $item_no AS item_no, "
                "$job_id AS job_id, $part_no AS part_no, 'pump' AS component, 1 AS quantity",
                {"row_id": row_id, "item_no": item_no, "job_id": job.job_id, "part_no": part_no},
            )

    def rows(self, name: str, **parameters: Any) -> list[dict[str, Any]]:
        """Return the rows of one SQL file under no filter but these parameters."""
        (statement,) = duckdb.extract_statements(sql.text(name))
        values = {key: parameters.get(key) for key in statement.named_parameters}
        result = self.connection.execute(sql.text(name), values)
        columns = [column[0] for column in result.description]
        return [dict(zip(columns, row, strict=True)) for row in result.fetchall()]
