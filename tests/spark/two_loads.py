"""The same files loaded twice: by DuckDB and by Spark, with one key, one set of limits and meters."""

import shutil
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

from etl.engines.base import spark_at
from etl.load import load
from tests.bench.messy_jobs import make

LIMITS = """test_point,kind,brand,low,high,valid_from
vent_airflow_check,,,0,1,
block_l1_l2_v,range_electric,,200,250,2026-03-01
fz_temp,refrigerator,Kestrel,-21,-15,
"""
METERS = """meter,quantity,accuracy_pct,digits,resolution,counts,lead_ohm
M-1,resistance,0.5,3,0.1,6000,0.2
DMM-001,AC voltage,1.0,3,0.1,6000,0
"""
LOADED = "loaded"
SETTINGS = {"service_volts": "240", "service_volts: Branch 01": "208"}


def records(folder: Path, messy_jobs: int, with_sample: bool = True) -> list[Path]:
    """Return the files: messy records of that many jobs and, unless turned off, the sample shop."""
    sample = [Path(str(files("sample_data")))] if with_sample else []
    return [*sample, *make(messy_jobs, folder)]


def _unseen(step: str) -> None:
    """Ignore which step begins."""


def load_twice(
    paths: list[Path],
    folder: Path,
    master: str,
    watches: tuple[Callable[[str], None], Callable[[str], None]] = (_unseen, _unseen),
) -> tuple[Path, Path]:
    """Load the files by DuckDB and by Spark and return the two database folders.

    `watches` are called with the name of every step that begins, and at the end with LOADED; the
    first one is for DuckDB's load.
    """
    ours, theirs = folder / "duckdb", folder / "spark"
    for database in (ours, theirs):
        database.mkdir()
        (database / "limits.csv").write_text(LIMITS, encoding="utf-8")
        (database / "meters.csv").write_text(METERS, encoding="utf-8")
    load(paths, ours, settings=SETTINGS, progress=watches[0])
    watches[0](LOADED)
    shutil.copy(ours / "unit.key", theirs)  # another key would give other units
    load(paths, theirs, settings=SETTINGS, engine=spark_at(master), progress=watches[1])
    watches[1](LOADED)
    return ours, theirs
