"""Readings in technicians' notes: read at the door; the notes themselves are never stored."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import pyarrow as pa

import sql
from etl.mapping.fields import folded
from etl.mapping.match import Claim
from etl.readings import format_value, parse_note
from etl.readings.notes.reading import NoteReading
from etl.words.kinds import kind_of

FUEL_WORDS = ("symptom", "root_cause", "repair_code", "component")  # columns of a job
Columns = dict[str, Any]  # of Arrow, by name

FUELS = {"gas": "gas", "natural gas": "gas", "ng": "gas", "lp": "gas", "propane": "gas"} | {
    "electric": "electric", "elec": "electric", "e": "electric",
}  # fmt: skip


@dataclass(frozen=True)
class NoteCounts:
    """Readings found in notes, and fragments that could hold one and were not understood."""

    readings: int = 0
    unread: int = 0


def note_readings(claim: Claim, ids: Columns, columns: Columns) -> tuple[Columns, NoteCounts]:
    """Return the readings in the notes of a jobs table as columns of raw.readings, with counts.

    The appliance kind decides which test points a word can mean; an unknown kind has none.
    """
    kinds = columns["appliance_kind"].to_pylist()
    fuels = columns["fuel"].to_pylist() if "fuel" in columns else [None] * len(kinds)
    words = _kinds() | {
        folded(word): id_ for word, id_ in claim.mapping.words.get("appliance_kind", {}).items()
    }
    silent = [None] * len(kinds)
    said = [columns[name].to_pylist() if name in columns else silent for name in FUEL_WORDS]
    found: list[tuple[int, int, NoteReading]] = []
    unread = 0
    for i, text in enumerate(columns["notes"].to_pylist()):
        if not text:
            continue
        kind = _kind_of(kinds[i], fuels[i], words)
        note = parse_note(
            text,
            kind=_with_fuel(kind, [text, *(column[i] for column in said)]),
            decimal=claim.mapping.decimal,
            fold_case=claim.mapping.fold_case,
        )
        unread += len(note.unread)
        usable = [r for r in note.readings if r.test_point and not r.value.problem]
        unread += sum(1 for r in note.readings if r.value.problem or not r.test_point)
        found += [(i, item, reading) for item, reading in enumerate(usable, start=501)]
    return _columns(found, ids, columns), NoteCounts(len(found), unread)


def _columns(found: list[tuple[int, int, NoteReading]], ids: Columns, columns: Columns) -> Columns:
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


def _kind_of(text: str | None, fuel: str | None, words: dict[str, str]) -> str:
    """Return the appliance kind that a text means, "" when it is not known."""
    kind = words.get(folded(text or "")) or kind_of(text or "") or ""
    power = FUELS.get(folded(fuel or ""))
    return f"{kind}_{power}" if power and kind in ("dryer", "range", "cooktop") else kind


def _with_fuel(kind: str, texts: Sequence[str | None]) -> str:
    """Return the kind with the one fuel that the words of its job point to, as staged/fuel_hints.

    Where they are silent or disagree the kind stays general, with the test points of both fuels.
    """
    hints = _fuel_words().get(kind)
    if not hints:
        return kind
    plain = f" {' '.join(folded(text) for text in texts if text)} "
    fuels = {fuel for word, fuel in hints if f" {word} " in plain}
    return f"{kind}_{fuels.pop()}" if len(fuels) == 1 else kind


@cache
def _fuel_words() -> dict[str, list[tuple[str, str]]]:
    """Return the words that point to a fuel, by the kind of appliance that does not say it."""
    found: dict[str, list[tuple[str, str]]] = {}
    for row in sql.lookup("fuel_words"):
        found.setdefault(row["kind"], []).append((row["word"], row["fuel"]))
    return found


@cache
def _kinds() -> dict[str, str]:
    found: dict[str, str] = {}
    for row in sql.lookup("kinds"):
        for word in (row["kind"], row["label"], *row["synonyms"].split("|")):
            found.setdefault(folded(word), row["kind"])
    return found
