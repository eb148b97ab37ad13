"""Readings in technicians' notes: read at the door; the notes themselves are never stored."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import pyarrow as pa

from etl.claim import Claim
from etl.fields import folded
from etl.mapping import Mapping
from etl.readings import format_value, parse_note

FUELS = {"gas": "gas", "natural gas": "gas", "ng": "gas", "lp": "gas", "propane": "gas"} | {
    "electric": "electric", "elec": "electric", "e": "electric",
}  # fmt: skip


@dataclass(frozen=True)
class NoteCounts:
    """Readings found in notes, and fragments that could hold one and were not understood."""

    readings: int = 0
    unread: int = 0


def note_readings(claim: Claim, ids: dict, columns: dict) -> tuple[dict, NoteCounts]:
    """Return the readings in the notes of a jobs table as columns of raw.readings, with counts.

    The appliance kind decides which test points a word can mean; an unknown kind has none.
    """
    kinds = columns["appliance_kind"].to_pylist()
    fuels = columns["fuel"].to_pylist() if "fuel" in columns else [None] * len(kinds)
    found, unread = [], 0
    for i, text in enumerate(columns["notes"].to_pylist()):
        if not text:
            continue
        note = parse_note(
            text,
            kind=kind_of(kinds[i], fuels[i], claim.mapping),
            decimal=claim.mapping.decimal,
            fold_case=claim.mapping.fold_case,
        )
        unread += len(note.unread)
        usable = [r for r in note.readings if r.test_point and not r.value.problem]
        unread += sum(1 for r in note.readings if r.value.problem or not r.test_point)
        found += [(i, item, reading) for item, reading in enumerate(usable, start=501)]
    return _columns(found, ids, columns), NoteCounts(len(found), unread)


def _columns(found: list, ids: dict, columns: dict) -> dict:
    rows = pa.array([i for i, _, _ in found], pa.int64())
    picked = pa.table(ids | {"job_id": columns["job_id"]}).take(rows)
    ambient = [
        None if r.temperature_cel is None else f"{r.temperature_cel:.6g} C" for _, _, r in found
    ]
    return {name: picked[name] for name in picked.schema.names} | {
        "item_no": pa.array([item for _, item, _ in found], pa.int32()),
        "origin": pa.array(["notes"] * len(found), pa.string()),
        "test_point": pa.array([r.test_point for _, _, r in found], pa.string()),
        "value": pa.array([format_value(r.value) for _, _, r in found], pa.string()),
        "ambient": pa.array(ambient, pa.string()),
        "nameplate": pa.array(
            [None if r.nameplate is None else f"{r.nameplate:g}" for _, _, r in found], pa.string()
        ),
    }


def kind_of(text: str | None, fuel: str | None, mapping: Mapping) -> str:
    """Return the appliance kind that a text means, "" when it is not known."""
    own = {folded(word): id_ for word, id_ in mapping.words.get("appliance_kind", {}).items()}
    word = folded(text or "")
    kind = own.get(word) or _kinds().get(word, "")
    return f"{kind}_{FUELS[folded(fuel)]}" if _needs_fuel(kind, fuel) else kind


def _needs_fuel(kind: str, fuel: str | None) -> bool:
    return kind in ("dryer", "range") and folded(fuel or "") in FUELS


@cache
def _kinds() -> dict[str, str]:
    text = (files("sql") / "lookups" / "kinds.csv").read_text(encoding="utf-8")
    found: dict[str, str] = {}
    for row in csv.DictReader(text.splitlines()):
        for word in (row["kind"], row["label"], *row["synonyms"].split("|")):
            found.setdefault(folded(word), row["kind"])
    return found
