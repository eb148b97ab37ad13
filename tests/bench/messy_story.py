"""What can happen in a messy shop: complaints with their causes, and what each is written with."""

from dataclasses import dataclass
from functools import cache

import numpy as np

import sql
from tests.bench import messy_values
from tests.bench.messy_words import Pool, vocabulary, words


@dataclass(frozen=True)
class Stories:
    """One complaint with its cause each (sql/lookups/chain_priors.csv), with pools by its number."""

    weights: np.ndarray
    kind_numbers: np.ndarray
    kinds: Pool
    symptoms: Pool
    causes: Pool
    repairs: Pool
    components: Pool
    tests: Pool
    points: Pool  # of the number that `tests` gives, as are values and units
    values: Pool
    units: Pool


@dataclass(frozen=True)
class Point:
    """A test point of one kind of appliance, and how often it fails behind one cause."""

    kind: str
    test_point: str
    fails: float


@cache
def stories() -> Stories:
    """Return the stories that numbers can be measured in; the same ones at every call."""
    rows = [row for row in sql.lookup("chain_priors") if len(_points(row)) > 1]
    kinds = sorted({row["kind"] for row in rows})
    points = [_points(row) for row in rows]
    flat = [point for group in points for point in group]
    written = [_values(point) for point in flat]
    return Stories(
        weights=np.array([float(row["weight"]) for row in rows]),
        kind_numbers=np.array([kinds.index(row["kind"]) for row in rows]),
        kinds=Pool.of([words("appliance_kind", "", kind) for kind in kinds]),
        symptoms=Pool.of([words("symptom", row["kind"], row["symptom"]) for row in rows]),
        causes=Pool.of([words("root_cause", row["kind"], row["cause"]) for row in rows]),
        repairs=Pool.of([_repairs(row) for row in rows]),
        components=Pool.of([_components(row) for row in rows]),
        tests=Pool.of([[point.test_point for point in group] for group in points]),
        points=Pool.of([words("test_point", point.kind, point.test_point) for point in flat]),
        values=Pool.of([[value for value, _ in group] for group in written]),
        units=Pool.of([[unit or None for _, unit in group] for group in written]),
    )


def _points(story: dict[str, str]) -> list[Point]:
    measured = {
        row["test_point"]: row["quantity"]
        for row in sql.lookup("test_points")
        if row["quantity"] in messy_values.USUAL and story["kind"] in row["kinds"].split("|")
    }
    spelled = {id_ for field, kind, _, id_ in vocabulary() if kind == story["kind"]}
    return [
        Point(story["kind"], row["test_point"], float(row["p_out_of_limits"]))
        for row in sql.lookup("cause_test_matrix")
        if (row["kind"], row["symptom"], row["cause"])
        == (story["kind"], story["symptom"], story["cause"])
        and row["test_point"] in measured
        and row["test_point"] in spelled
    ]


@cache
def _values(point: Point) -> list[messy_values.Written]:
    """Return written values, those beyond the limits in the share that the cause gives."""
    quantity = next(
        row["quantity"]
        for row in sql.lookup("test_points")
        if row["test_point"] == point.test_point
    )
    rng = np.random.default_rng([ord(letter) for letter in f"{point.kind} {point.test_point}"])
    sound = messy_values.inside(rng, point.test_point, quantity)
    failed = messy_values.outside(rng, point.test_point, quantity)
    count = messy_values.TEXTS_PER_POINT
    failing = round(point.fails * count)
    return [
        *(failed[i] for i in rng.integers(len(failed), size=failing)),
        *(sound[i] for i in rng.integers(len(sound), size=count - failing)),
    ]


def _repairs(story: dict[str, str]) -> list[str]:
    fitting = [
        row["repair"]
        for row in sql.lookup("repair_codes")
        if row["kind"] == story["kind"] and row["component"] == _component(story)
    ]
    return words("repair_code", story["kind"], (fitting or ["no_repair_possible"])[0])


def _components(story: dict[str, str]) -> list[str]:
    known = {
        id_ for field, kind, _, id_ in vocabulary() if (field, kind) == ("component", story["kind"])
    }
    found = _component(story)
    return words("component", story["kind"], found if found in known else min(known))


def _component(story: dict[str, str]) -> str:
    return next(
        row["component"]
        for row in sql.lookup("causes")
        if (row["kind"], row["cause"]) == (story["kind"], story["cause"])
    )
