"""Messy records of any size, the same bytes for the same seed, a slice of jobs at a time.

python -m tests.bench.messy_jobs JOBS FOLDER writes canonical CSV files: jobs_01.csv, visits_01.csv,
readings_01.csv, part_lines_01.csv, and so on. Everything in them is invented.
"""

import sys
from pathlib import Path

import numpy as np
import pyarrow as pa
from pyarrow import csv

from tests.bench import messy_values
from tests.bench.messy_columns import (
    blank,
    durations,
    numbered,
    prices,
    repeated,
    some_twice,
    spoil,
)
from tests.bench.messy_dates import DAYS, clock_texts, date_texts
from tests.bench.messy_story import stories
from tests.bench.messy_words import Pool, words

SEED = 20417
SLICE = 250_000  # jobs to a file: a file of readings stays far below the reader's five million rows
BAD_JOBS, BAD_READINGS, BAD_LINES, TWICE = 0.02, 0.015, 0.01, 0.01
RETURNS = 0.08  # jobs on the unit of an earlier job
JOBS_PER_TECHNICIAN, JOBS_PER_BRANCH = 5_000, 40_000
BRANDS = ("Nordholm", "Kestrel", "Averill", "Plinth", "Tamarack", "Oxbow")  # invented
YES_NO = Pool.of([["yes", "Y", "true", "1"], ["no", "N", "false", "0"]])


def make(jobs: int, folder: Path, seed: int = SEED) -> list[Path]:
    """Write the files of that many jobs into a folder and return their paths."""
    paths = []
    for number, first in enumerate(range(0, jobs, SLICE), start=1):
        rng = np.random.default_rng([seed, number])
        tables = slice_of(rng, first, min(SLICE, jobs - first), jobs)
        paths += _write(tables, folder, f"{number:02d}")
    return paths


def make_day_after(jobs: int, folder: Path, seed: int = SEED) -> list[Path]:
    """Write the files of the day after that many jobs: as many new jobs as a day of them has."""
    rng = np.random.default_rng([seed, 0])
    return _write(slice_of(rng, jobs, max(1, jobs // DAYS), jobs), folder, "day_after")


def _write(tables: dict[str, pa.Table], folder: Path, mark: str) -> list[Path]:
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / f"{name}_{mark}.csv" for name in tables]
    for table, path in zip(tables.values(), paths, strict=True):
        csv.write_csv(table, path, csv.WriteOptions(quoting_style="needed"))
    return paths


def slice_of(rng: np.random.Generator, first: int, count: int, jobs: int) -> dict[str, pa.Table]:
    """Return the four tables of the jobs from number `first` on, out of `jobs` in all."""
    numbers = np.arange(first, first + count)
    drawn = {
        "story": rng.choice(
            len(stories().weights), count, p=stories().weights / stories().weights.sum()
        ),
        "unit": first + np.arange(count),
        "opened": numbers * DAYS // jobs,
        "visits": rng.choice([1, 2, 3], count, p=[0.76, 0.23, 0.01]),
        "technician": rng.integers(max(5, jobs // JOBS_PER_TECHNICIAN), size=count),
    }
    drawn["closed"] = drawn["opened"] + 3 * (drawn["visits"] - 1)
    _return_some(rng, drawn)
    ids = numbered("J", numbers)
    tables = {
        "jobs": _jobs(rng, drawn, ids, jobs),
        "visits": _visits(rng, drawn, ids),
        "readings": _readings(rng, drawn, ids),
        "part_lines": _part_lines(rng, drawn, ids),
    }
    return {name: some_twice(rng, table, TWICE) for name, table in tables.items()}


def _return_some(rng: np.random.Generator, drawn: dict[str, np.ndarray]) -> None:
    """Let some jobs come back with the complaint and the unit of an earlier job."""
    count = len(drawn["unit"])
    earlier = np.arange(count) - rng.integers(1, max(2, count // 40), count)
    returns = np.flatnonzero((rng.random(count) < RETURNS) & (earlier >= 0))
    for field in ("unit", "story"):
        drawn[field][returns] = drawn[field][earlier[returns]]


def _jobs(rng: np.random.Generator, drawn: dict, ids: pa.Array, jobs: int) -> pa.Table:
    count, story, unit = len(ids), drawn["story"], drawn["unit"]
    parts = rng.gamma(4, 15, count)
    table = {
        "job_id": ids,
        "opened_on": date_texts(rng, drawn["opened"]),
        "closed_on": date_texts(rng, drawn["closed"]),
        "branch": numbered("Branch ", unit % max(3, jobs // JOBS_PER_BRANCH), 2),
        "appliance_kind": stories().kinds.draw(rng, stories().kind_numbers[story]),
        "brand": pa.array(BRANDS).take(pa.array(unit % len(BRANDS))),
        "model": numbered("M-", unit % 997, 3),
        "serial": blank(numbered("SN", unit), unit % 10 == 0),
        "symptom": stories().symptoms.draw(rng, story),
        "root_cause": stories().causes.draw(rng, story),
        "repair_code": stories().repairs.draw(rng, story),
        "disposition": _dispositions().draw(rng, (rng.random(count) > 0.92).astype(int)),
        "charged": prices(rng, np.round(parts * 2 + rng.gamma(9, 14, count), 2)),
        "parts_charged": prices(rng, np.round(parts * 2, 2)),
    }
    spoil(rng, table, BAD_JOBS, {
        "job_id": [None],
        "opened_on": ["2025-13-45", "last week", None],
        "closed_on": ["2001-01-01"],
        "appliance_kind": ["widget", "see ticket"],
        "charged": ["call office"],
    })  # fmt: skip
    return pa.table(table)


def _visits(rng: np.random.Generator, drawn: dict, ids: pa.Array) -> pa.Table:
    job, number = repeated(drawn["visits"])
    is_last = number == drawn["visits"][job]
    day = drawn["opened"][job] + 3 * (number - 1)
    table = {
        "job_id": ids.take(pa.array(job)),
        "visit_no": pa.array(number).cast(pa.string()),
        "technician": numbered("Tech ", drawn["technician"][job], 3),
        "arrived_at": clock_texts(rng, day),
        "minutes_on_job": durations(rng, rng.gamma(5, 10, len(job))),
        "travel_minutes": durations(rng, rng.gamma(4, 6, len(job))),
        "outcome": _outcomes().draw(rng, np.where(is_last, 0, rng.integers(1, 4, len(job)))),
    }
    spoil(rng, table, BAD_LINES, {
        "technician": [None],
        "arrived_at": ["noon", "2025-02-30 10:00"],
        "minutes_on_job": ["2000", "a while"],
        "outcome": [None],
    })  # fmt: skip
    return pa.table(table)


def _readings(rng: np.random.Generator, drawn: dict, ids: pa.Array) -> pa.Table:
    job, number = repeated(rng.integers(3, 10, len(ids)))
    test = stories().tests.places(rng, drawn["story"][job])
    value = pa.array(stories().values.places(rng, test))
    table = {
        "job_id": ids.take(pa.array(job)),
        "visit_no": pa.array(np.where(number > 6, drawn["visits"][job], 1)).cast(pa.string()),
        "seq": pa.array(number).cast(pa.string()),
        "test_point": stories().points.draw(rng, test),
        "value": stories().values.texts.take(value),
        "unit": stories().units.texts.take(value),
        "minutes": pa.array(rng.integers(1, 9, len(job))).cast(pa.string()),
        "meter": numbered("DMM-", drawn["technician"][job], 3),
    }
    spoil(rng, table, BAD_READINGS, {"value": [*messy_values.BAD, None], "test_point": [None]})
    return pa.table(table)


def _part_lines(rng: np.random.Generator, drawn: dict, ids: pa.Array) -> pa.Table:
    job, _ = repeated(rng.choice([0, 1, 2, 3], len(ids), p=[0.12, 0.7, 0.14, 0.04]))
    cost = np.round(rng.gamma(4, 15, len(job)), 2)
    table = {
        "job_id": ids.take(pa.array(job)),
        "visit_no": pa.array(drawn["visits"][job]).cast(pa.string()),
        "part_no": numbered("P", drawn["story"][job] * 7 + rng.integers(0, 7, len(job)), 4),
        "component": stories().components.draw(rng, drawn["story"][job]),
        "quantity": pa.array(["1", "1", "1", "2"]).take(pa.array(rng.integers(0, 4, len(job)))),
        "unit_cost": prices(rng, cost),
        "unit_charge": prices(rng, np.round(cost * 2, 2)),
        "from_van": YES_NO.draw(rng, rng.integers(0, 2, len(job))),
        "on_hand": YES_NO.draw(rng, rng.integers(0, 2, len(job))),
    }
    spoil(rng, table, BAD_LINES, {"part_no": [None], "quantity": ["two", "?"]})
    return pa.table(table)


def _dispositions() -> Pool:
    return Pool.of([words("disposition", "", "repaired"), words("disposition", "", "declined")])


def _outcomes() -> Pool:
    outcomes = ("completed", "part_not_on_van", "part_on_order", "misdiagnosis")
    return Pool.of([words("outcome", "", outcome) for outcome in outcomes])


if __name__ == "__main__":
    make(int(sys.argv[1]), Path(sys.argv[2]))
