"""What the simulation takes from the trade's lookups: chains, priors, the cause × test matrix."""

from collections import defaultdict
from functools import cache

import sql


@cache
def chains() -> dict[tuple[str, str], list[dict[str, str]]]:
    """Return each chain's tests in the usual order, by kind and complaint."""
    found = defaultdict(list)
    for row in sql.lookup("chains"):
        found[row["kind"], row["symptom"]].append(row)
    return {
        key: sorted(tests, key=lambda row: int(row["usual_step"])) for key, tests in found.items()
    }


@cache
def priors() -> dict[tuple[str, str], dict[str, float]]:
    """Return each chain's causes with their weights."""
    found: dict[tuple[str, str], dict[str, float]] = defaultdict(dict)
    for row in sql.lookup("chain_priors"):
        found[row["kind"], row["symptom"]][row["cause"]] = float(row["weight"])
    return dict(found)


@cache
def matrix() -> dict[tuple[str, str, str, str], tuple[float, str]]:
    """Return p(outside limits) and what is then seen, by kind, complaint, cause and test point."""
    return {
        (row["kind"], row["symptom"], row["cause"], row["test_point"]): (
            float(row["p_out_of_limits"]),
            row["expected"],
        )
        for row in sql.lookup("cause_test_matrix")
    }


@cache
def causes() -> dict[tuple[str, str], dict[str, str]]:
    """Return each cause by kind and id."""
    return {(row["kind"], row["cause"]): row for row in sql.lookup("causes")}


@cache
def symptoms() -> dict[tuple[str, str], dict[str, str]]:
    """Return each complaint by kind and id."""
    return {(row["kind"], row["symptom"]): row for row in sql.lookup("symptoms")}


@cache
def kinds() -> dict[str, dict[str, str]]:
    """Return each appliance kind by id."""
    return {row["kind"]: row for row in sql.lookup("kinds")}


@cache
def test_points() -> dict[str, dict[str, str]]:
    """Return each test point by id."""
    return {row["test_point"]: row for row in sql.lookup("test_points")}


@cache
def limits(test_point: str, kind: str, variant: str = "") -> dict[str, str]:
    """Return the row of limits by which a reading of a sound part is drawn.

    The row of this variant where it is given, else the one for the kind, else the default one.
    """
    rows = [row for row in sql.lookup("tolerances") if row["test_point"] == test_point]
    if variant:
        return next(row for row in rows if row["variant"] == variant)
    fitting = [
        row
        for row in rows
        if (not row["kinds"] or kind in row["kinds"].split("|"))
        and "230" not in row["service_volts"].split("|")
        and not row["type_words"]
        and not row["needs_nameplate"]
    ]
    fitting.sort(key=lambda row: (not row["kinds"], row["is_default"] != "1"))
    return (fitting or rows)[0]


@cache
def repair_of(kind: str, component: str, cause_class: str) -> dict[str, str]:
    """Return the repair that a cause calls for: the part's replacement, else what else is done."""
    of_kind = [row for row in sql.lookup("repair_codes") if row["kind"] == kind]
    for_part = [row for row in of_kind if row["component"] == component]
    replacing = [row for row in for_part if row["repair"].startswith("replace_")]
    fallback = "instruct_user" if cause_class in ("user", "none_found") else "repair_wiring"
    return (replacing or for_part or [row for row in of_kind if row["repair"] == fallback])[0]


@cache
def _meanings(field: str) -> dict[tuple[str, str], set[str]]:
    """Return which ids each lower-case word can mean, by kind and word."""
    tables = {"symptom": symptoms(), "root_cause": causes()}
    found = defaultdict(set)
    if field not in tables:
        for id_, row in kinds().items():
            for word in row["synonyms"].split("|"):
                found["", word.lower()].add(id_)
        return found
    for (kind, id_), row in tables[field].items():
        for word in row["synonyms"].split("|"):
            found[kind, word.lower()].add(id_)
    return found


def is_clear(field: str, kind: str, word: str, id_: str) -> bool:
    """Say whether a synonym means only this id; it has letters and is no question mark."""
    place = kind if field in ("symptom", "root_cause") else ""
    return _meanings(field)[place, word.lower()] == {id_} and any(c.isalpha() for c in word)
