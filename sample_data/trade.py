"""What the trade knows, from sql/lookups: causes, tests, limits, repairs, teardown, words."""

import csv
import re
import unicodedata
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path


@dataclass(frozen=True)
class Point:
    """A test point: where the meter is held, what it measures, how it is reached."""

    test_point: str
    component: str
    quantity: str
    unit: str
    access_level: str
    test_min: float


@dataclass(frozen=True)
class Limits:
    """The default limits of a test point; None = no limit on that side."""

    basis: str
    low: float | None
    high: float | None
    fail_below: float | None
    fail_above: float | None
    is_open_good: bool


@dataclass(frozen=True)
class Repair:
    """A repair code: minutes (low, mode, high) and cost of its part in USD (low, usual, high)."""

    repair: str
    component: str
    labour_min: tuple[float, float, float]
    part_cost: tuple[float, float, float]


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Read one lookup as dictionaries."""
    text = (files("sql") / "lookups" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def complaints() -> tuple[dict[str, str], ...]:
    """Read the shop's own mix of calls: kind, symptom, calls, causes."""
    with (Path(__file__).parent / "complaints.csv").open(encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def _number(text: str) -> float | None:
    return float(text) if text else None


@cache
def points() -> dict[str, Point]:
    """Return every test point by its id."""
    return {
        row["test_point"]: Point(
            row["test_point"],
            row["component"],
            row["quantity"],
            row["unit_ucum"],
            row["access_level"],
            float(row["test_min"]),
        )
        for row in rows("test_points")
    }


@cache
def points_of(kind: str) -> tuple[str, ...]:
    """Return the test points of a kind in the order of the lookup."""
    return tuple(r["test_point"] for r in rows("test_points") if kind in r["kinds"].split("|"))


@cache
def limits() -> dict[str, Limits]:
    """Return the default limits by test point; the first row where none is the default."""
    found: dict[str, Limits] = {}
    for row in sorted(rows("tolerances"), key=lambda row: row["is_default"] != "1"):
        bounds = [_number(row[name]) for name in ("low", "high", "fail_below", "fail_above")]
        found.setdefault(
            row["test_point"], Limits(row["limit_basis"], *bounds, row["open_verdict"] == "pass")
        )
    return found


@cache
def causes(kind: str) -> dict[str, dict[str, str]]:
    """Return the rows of causes of a kind by cause."""
    return {row["cause"]: row for row in rows("causes") if row["kind"] == kind}


@cache
def repairs(kind: str) -> dict[str, Repair]:
    """Return the repair codes of a kind by code."""
    return {
        row["repair"]: Repair(
            row["repair"],
            row["component"],
            tuple(float(row[f"labour_min_{x}"]) for x in ("low", "mode", "high")),
            tuple(float(row[f"part_cost_{x}_usd"]) for x in ("low", "typ", "high")),
        )
        for row in rows("repair_codes")
        if row["kind"] == kind
    }


@cache
def families(kind: str) -> dict[str, str]:
    """Return the family of each symptom of a kind."""
    return {row["symptom"]: row["family"] for row in rows("symptoms") if row["kind"] == kind}


@cache
def chain(kind: str, symptom: str) -> tuple[str, ...]:
    """Return the tests of a diagnostic chain in the usual order; empty when there is no chain."""
    found = [r for r in rows("chains") if r["kind"] == kind and r["symptom"] == symptom]
    return tuple(r["test_point"] for r in sorted(found, key=lambda r: int(r["usual_step"])))


@cache
def chain_priors(kind: str, symptom: str) -> dict[str, float]:
    """Return the weight of each cause of a chain."""
    return {
        row["cause"]: float(row["weight"])
        for row in rows("chain_priors")
        if row["kind"] == kind and row["symptom"] == symptom
    }


@cache
def matrix() -> dict[tuple[str, str, str, str], tuple[float, str]]:
    """Return p(outside limits) and what is then seen, by kind, symptom, cause, test point."""
    return {
        (row["kind"], row["symptom"], row["cause"], row["test_point"]): (
            float(row["p_out_of_limits"]),
            row["expected"],
        )
        for row in rows("cause_test_matrix")
    }


@cache
def teardown(kind: str) -> dict[str, tuple[str, float, float]]:
    """Return parent, minutes to open and minutes to close of each access level of a kind."""
    return {
        row["access_level"]: (row["parent"], float(row["open_min"]), float(row["close_min"]))
        for row in rows("teardown")
        if row["kind"] == kind
    }


def folded(text: str) -> str:
    """Return a word as the vocabulary compares it: lower case, no accents, no punctuation."""
    plain = unicodedata.normalize("NFKD", text.lower()).encode("ascii", "ignore").decode()
    return " ".join(re.sub(r"[^a-z0-9]+", " ", plain.replace("'", "").replace("`", "")).split())


@cache
def words(lookup: str, id_column: str, kind: str = "") -> dict[str, tuple[str, ...]]:
    """Return the words that mean one id and no other, by id; kind '' = lookup without kinds."""
    meanings: dict[str, set[str]] = defaultdict(set)
    written: dict[str, list[str]] = defaultdict(list)
    for row in rows(lookup):
        if kind and kind not in (row.get("kind") or row.get("kinds", "")).split("|"):
            continue
        own = (row[id_column], row.get("label") or "", *(row.get("synonyms") or "").split("|"))
        for word in filter(folded, own):
            meanings[folded(word)].add(row[id_column])
            written[row[id_column]].append(word)
    return {
        name: tuple(dict.fromkeys(w for w in found if len(meanings[folded(w)]) == 1))
        for name, found in written.items()
    }
