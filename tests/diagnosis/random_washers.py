"""Random washers that do not drain: drawn jobs with visits, parts and judged readings."""

from dataclasses import dataclass

from hypothesis import strategies

import sql
from etl.incremental import WHOLE_SHOP_STEPS
from tests.measures.random_shop import RandomShop

STEPS = ("core/fitted_parts", "core/corrections", "core/missed_readings", *WHOLE_SHOP_STEPS)
ZONES = ("inside", "doubtful", "outside", None)
PARTS = ("drain_pump", "lid_lock", "hose", "control_board")
POINTS = {  # test point: its component (sql/lookups/test_points.csv)
    "washer_drain_pump_ohm": "drain_pump",
    "washer_drain_pump_v": "drain_pump",
    "washer_lid_lock_switch": "lid_lock",
    "washer_drain_hose_check": "hose",
}
CAUSES = {  # cause: its component (sql/lookups/causes.csv)
    "drain_pump_open": "drain_pump",
    "lid_lock_failed": "lid_lock",
    "drain_hose_blocked": "hose",
    "cause_unknown": "none",
}
REASONS = ("other", "part_needed", "misdiagnosed")


@dataclass(frozen=True)
class Reading:
    """One judged reading, in the order of the job's list."""

    visit_no: int | None
    point: str
    zone: str | None


@dataclass(frozen=True)
class Part:
    """One part line."""

    visit_no: int | None
    component: str | None
    pieces: int


@dataclass(frozen=True)
class Job:
    """A washer that does not drain; `reasons` are those of its attended visits."""

    cause: str
    disposition: str
    reasons: tuple[str, ...]
    readings: tuple[Reading, ...]
    parts: tuple[Part, ...]


visits = strategies.sampled_from([None, 1, 1, 2])
readings = strategies.builds(
    Reading, visits, strategies.sampled_from(sorted(POINTS)), strategies.sampled_from(ZONES)
)
parts = strategies.builds(
    Part, visits, strategies.sampled_from([None, *PARTS]), strategies.sampled_from([0, 1, 1, 2])
)
jobs = strategies.builds(
    Job,
    strategies.sampled_from(sorted(CAUSES)),
    strategies.sampled_from(["repaired", "repaired", "repaired", "declined"]),
    strategies.lists(strategies.sampled_from(REASONS), max_size=3).map(tuple),
    strategies.lists(readings, max_size=4).map(tuple),
    strategies.lists(parts, max_size=3).map(tuple),
)


class Shop:
    """An in-memory database whose jobs, visits, parts and readings are replaced for each example."""

    def __init__(self) -> None:
        self.run = RandomShop().connection.execute
        self.run(  # here the drawn jobs say what each reading decided
            "CREATE TABLE core.drawn AS FROM core.reading_facts; DROP VIEW core.reading_facts; "
            "ALTER TABLE core.drawn RENAME TO reading_facts"
        )

    def fill(self, drawn: list[Job]) -> None:
        """Put these jobs in place of the last ones and run the steps of the verdicts."""
        run = self.run
        for table in ("jobs", "visits", "part_lines", "readings", "reading_facts", "job_facts"):
            run(f"DELETE FROM core.{table}")
        for step in STEPS:
            run(f"DROP TABLE IF EXISTS {step.replace('/', '.')}")
        for number, job in enumerate(drawn):
            self._insert(number, job)
        for step in STEPS:
            run(sql.text(step))

    def rows(self, table: str) -> list[dict]:
        """Return the rows of a core table."""
        result = self.run(f"FROM core.{table}")
        names = [column[0] for column in result.description]
        return [dict(zip(names, row, strict=True)) for row in result.fetchall()]

    def _insert(self, number: int, job: Job) -> None:
        values = {"job": f"J{number}", "row": number, "cause": job.cause, "end": job.disposition}
        component = {"component": CAUSES[job.cause]}
        self.run(
            "INSERT INTO core.jobs BY NAME SELECT $job AS job_id, $job AS job_number, 'm' AS numbering, "
            "$row AS row_id, 'm' AS mapping, "
            "DATE '2026-01-01' AS opened_on, DATE '2026-01-02' AS closed_on, "
            "'washer' AS appliance_kind, 'wont_drain' AS symptom, 'drain_spin' AS symptom_family, "
            "$cause AS root_cause, $end AS disposition",
            values,
        )
        self.run(
            "INSERT INTO core.job_facts BY NAME SELECT $job AS job_id, "
            "DATE '2026-01-02' AS closed_on, 'washer' AS appliance_kind, 'wont_drain' AS symptom, "
            "$cause AS recorded_cause, $cause AS final_cause, $component AS recorded_component, "
            "$component AS final_component, "
            "CASE WHEN $component = 'none' THEN 'none_found' ELSE 'component' END "
            "AS final_cause_class, $end = 'repaired' AS is_repaired, "
            "TRUE AS is_complaint, FALSE AS is_counted",
            {key: values[key] for key in ("job", "cause", "end")} | component,
        )
        for place, reason in enumerate(job.reasons, start=1):
            self.run(
                "INSERT INTO core.visits BY NAME SELECT $job AS job_id, $place AS visit_no, "
                "$row AS row_id, 'Ann' AS technician, 30 AS labour_min, FALSE AS is_labour_derived, "
                "10 AS travel_min, 'x' AS outcome, TRUE AS is_attended, $reason AS repeat_reason",
                {"job": f"J{number}", "row": number, "place": place, "reason": reason},
            )
        for place, line in enumerate(job.parts):
            self.run(
                "INSERT INTO core.part_lines BY NAME SELECT $row AS row_id, $place AS item_no, "
                "$job AS job_id, $visit AS visit_no, 'P' AS part_no, $component AS component, "
                "$pieces AS quantity, 10 AS unit_cost",
                {
                    "row": number, "place": place, "job": f"J{number}", "visit": line.visit_no,
                    "component": line.component, "pieces": line.pieces,
                },
            )  # fmt: skip
        fitted = {line.component for line in job.parts}
        for place, line in enumerate(job.readings):
            self._insert_reading(number, place, line, POINTS[line.point] in fitted)

    def _insert_reading(self, number: int, place: int, line: Reading, is_replaced: bool) -> None:
        values = {"row": number, "place": place, "job": f"J{number}", "visit": line.visit_no}
        self.run(
            "INSERT INTO core.readings BY NAME SELECT $row AS row_id, $place AS item_no, "
            "$job AS job_id, $visit AS visit_no, $place AS seq, 'row' AS origin, "
            "'' AS written_point, '' AS written_value, 'parsed' AS outcome, FALSE AS is_open, "
            "FALSE AS is_closed, '' AS comparator, '' AS flags, '' AS noted_words",
            values,
        )
        self.run(
            "INSERT INTO core.reading_facts BY NAME SELECT $row AS row_id, $place AS item_no, "
            "$job AS job_id, $visit AS visit_no, $place AS seq, $point AS test_point, "
            "$component AS component, $zone AS decision, $is_replaced AS is_replaced, "
            "'resistance' AS quantity, FALSE AS is_open, FALSE AS is_weak",
            values
            | {"point": line.point, "component": POINTS[line.point], "zone": line.zone}
            | {"is_replaced": is_replaced},
        )
