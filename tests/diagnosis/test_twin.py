"""Evidence and patterns in SQL give what a slow plain-Python count gives, on random shops."""

from dataclasses import dataclass

import duckdb
import pytest
from hypothesis import HealthCheck, given, settings, strategies

import sql
from tests.measures.random_shop import RandomShop

STEPS = ("core/part_evidence", "core/job_patterns")
ZONES = ("inside", "doubtful", "outside", None)
PARTS = ("drain_pump", "lid_lock", "hose", "control_board")
POINTS = {  # test point: its component (sql/lookups/test_points.csv)
    "washer_drain_pump_ohm": "drain_pump",
    "washer_drain_pump_v": "drain_pump",
    "washer_lid_lock_switch": "lid_lock",
    "washer_drain_hose_check": "hose",
}
BLIND = {"washer_drain_pump_v"}  # volts at the pump: its supply (register: 0.03 for every failure)
CAUSES = {  # cause: its component (sql/lookups/causes.csv)
    "drain_pump_open": "drain_pump",
    "lid_lock_failed": "lid_lock",
    "drain_hose_blocked": "hose",
    "cause_unknown": "none",
}


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
    """A washer that does not drain."""

    cause: str
    disposition: str
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
    strategies.lists(readings, max_size=4).map(tuple),
    strategies.lists(parts, max_size=3).map(tuple),
)


@pytest.fixture(scope="module")
def strong() -> dict[str, set[str]]:
    """For each test point the components whose failure makes it read outside (p >= 0.5)."""
    component = {(row["kind"], row["cause"]): row["component"] for row in sql.lookup("causes")}
    found: dict[str, set[str]] = {}
    for row in sql.lookup("cause_test_matrix"):
        is_ours = (row["kind"], row["symptom"]) == ("washer", "wont_drain")
        if is_ours and float(row["p_out_of_limits"]) >= 0.5:
            found.setdefault(row["test_point"], set()).add(component["washer", row["cause"]])
    return found


@pytest.fixture(scope="module")
def pointing() -> set[tuple[str, str]]:
    """The (component, test point) pairs where a test made elsewhere speaks for a part."""
    component = {(row["kind"], row["cause"]): row["component"] for row in sql.lookup("causes")}
    rows = [
        row
        for row in sql.lookup("cause_test_matrix")
        if (row["kind"], row["symptom"]) == ("washer", "wont_drain")
        and float(row["p_out_of_limits"]) >= 0.5
    ]
    return {
        (component["washer", row["cause"]], row["test_point"])
        for row in rows
        if sum(other["test_point"] == row["test_point"] for other in rows) <= 2
        and float(row["p_out_of_limits"]) >= 0.8
    }


class Shop:
    """An in-memory database whose readings, parts and jobs are replaced for each example."""

    def __init__(self) -> None:
        self.run = RandomShop().connection.execute

    def fill(self, drawn: list[Job]) -> None:
        run = self.run
        run("DELETE FROM core.jobs; DELETE FROM core.part_lines; DELETE FROM core.readings")
        run("DELETE FROM core.reading_facts; DELETE FROM core.job_facts")
        run("DROP TABLE IF EXISTS core.part_evidence; DROP TABLE IF EXISTS core.job_patterns")
        for number, job in enumerate(drawn):
            self._insert(number, job)
        for step in STEPS:
            run(sql.text(step))

    def _insert(self, number: int, job: Job) -> None:
        values = {"job": f"J{number}", "row": number, "cause": job.cause, "end": job.disposition}
        component = {"component": CAUSES[job.cause]}
        self.run(
            "INSERT INTO core.jobs BY NAME SELECT $job AS job_id, $row AS row_id, 'm' AS mapping, "
            "DATE '2026-01-01' AS opened_on, DATE '2026-01-02' AS closed_on, "
            "'washer' AS appliance_kind, 'wont_drain' AS symptom, 'drain_spin' AS symptom_family, "
            "$cause AS root_cause, $end AS disposition",
            values,
        )
        self.run(
            "INSERT INTO core.job_facts BY NAME SELECT $job AS job_id, "
            "DATE '2026-01-02' AS closed_on, 'washer' AS appliance_kind, 'wont_drain' AS symptom, "
            "$cause AS recorded_cause, $component AS recorded_component, "
            "$component AS final_component, $end = 'repaired' AS is_repaired, "
            "TRUE AS is_complaint, FALSE AS is_counted",
            {key: values[key] for key in ("job", "cause", "end")} | component,
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
            "FALSE AS is_closed, '' AS comparator, '' AS flags",
            values,
        )
        self.run(
            "INSERT INTO core.reading_facts BY NAME SELECT $row AS row_id, $place AS item_no, "
            "$job AS job_id, $visit AS visit_no, $place AS seq, $point AS test_point, "
            "$component AS component, $zone AS decision, $is_replaced AS is_replaced",
            values
            | {"point": line.point, "component": POINTS[line.point], "zone": line.zone}
            | {"is_replaced": is_replaced},
        )

    def rows(self, table: str) -> list[dict]:
        result = self.run(f"FROM core.{table}")
        names = [column[0] for column in result.description]
        return [dict(zip(names, row, strict=True)) for row in result.fetchall()]


@pytest.fixture(scope="module")
def shop() -> Shop:
    """One database for all examples."""
    return Shop()


def slow_evidence(job: Job, pointing: set[tuple[str, str]]) -> dict[str, str]:
    """Judge every replaced part of a job, one by one."""
    if job.disposition != "repaired":
        return {}
    result = {}
    for component in {line.component for line in job.parts if line.component and line.pieces}:
        fitted = [
            line.visit_no
            for line in job.parts
            if line.component == component and line.pieces and line.visit_no is not None
        ]
        zones = [
            line.zone
            for line in job.readings
            if (
                (POINTS[line.point] == component and line.point not in BLIND)
                or (component, line.point) in pointing
            )
            and (line.visit_no is None or not fitted or line.visit_no <= min(fitted))
        ]
        if not zones:
            result[component] = "untested"
        elif "outside" in zones:
            result[component] = "supported"
        else:
            result[component] = "contradicted" if set(zones) == {"inside"} else "unclear"
    return result


def slow_patterns(
    job: Job, evidence: dict[str, str], strong: dict[str, set[str]]
) -> tuple[bool | None, ...]:
    """Return condemned while good, no evidence, passed over, at a guess."""
    testable = [part for part in evidence if part != "control_board"]
    supported = [part for part in evidence if evidence[part] == "supported"]
    judged = [line for line in job.readings if line.zone is not None]
    named = set(evidence) | {CAUSES[job.cause]} - {"none"}
    last = {line.point: line.zone for line in judged}
    replaced = {line.component for line in job.parts}
    passed = [
        point
        for point, zone in last.items()
        if zone == "outside"
        and POINTS[point] not in replaced | {CAUSES[job.cause]}
        and not named & strong.get(point, set())
    ]
    if not testable:
        return None, None, bool(passed) if judged else None, None
    return (
        any(evidence[part] == "contradicted" for part in evidence),
        any(evidence[part] == "untested" for part in testable),
        bool(passed) if judged else None,
        len(testable) >= 2 and len(supported) < 2,
    )


@settings(
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(drawn=strategies.lists(jobs, min_size=1, max_size=6))
def test_evidence_and_patterns(
    shop: Shop, pointing: set[tuple[str, str]], strong: dict[str, set[str]], drawn: list[Job]
):
    shop.fill(drawn)
    evidence = {
        (row["job_id"], row["component"]): row["evidence"] for row in shop.rows("part_evidence")
    }
    wanted = {
        (f"J{n}", part): told
        for n, job in enumerate(drawn)
        for part, told in slow_evidence(job, pointing).items()
    }
    assert evidence == wanted
    is_measured = any(job.readings for job in drawn)
    for row in shop.rows("job_patterns"):
        job = drawn[int(row["job_id"][1:])]
        told = slow_patterns(job, slow_evidence(job, pointing), strong)
        if not is_measured:
            told = (None, None, None, None)
        assert (
            row["is_condemned_while_good"],
            row["is_no_evidence"],
            row["is_passed_over"],
            row["is_at_a_guess"],
        ) == told


def test_the_database_is_a_real_one(shop: Shop):
    """The twin runs the project's own steps, in its own database engine."""
    assert duckdb.__version__
    assert shop.rows("pointing_tests")
