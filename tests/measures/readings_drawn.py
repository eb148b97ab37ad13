"""A drawn shop with readings only: one job, values at test points, and how each was judged."""

from pathlib import Path

import pandas as pd

from etl.load import load
from tests.ask import run

JOB = '"A","2026-03-01","2026-03-02","{kind}","oven_no_bake","repaired","one","{brand}","{model}","{branch}"'
JOB_HEADER = (
    "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,brand,model,branch"
)
READING_HEADER = "job_id,visit_no,seq,test_point,value,ambient,ambient_unit,meter,state,nameplate"


def judged(
    folder: Path,
    *readings: tuple,
    kind: str = "range_electric",
    brand: str = "",
    model: str = "",
    branch: str = "Mill Lane",
    limits: str = "",
    meters: str = "",
    settings: dict[str, str] | None = None,
) -> pd.DataFrame:
    """Load one job with readings and judge them.

    A reading is (test_point, value[, ambient in Cel[, meter[, state[, nameplate]]]]);
    `limits` and `meters` are the text of the shop's own files. Rows come in the order given.
    """
    sources, database = folder / "in", folder / "db"
    sources.mkdir(parents=True, exist_ok=True)
    database.mkdir(exist_ok=True)
    (database / "limits.csv").write_text(limits or "test_point\n", encoding="utf-8")
    if meters:
        (database / "meters.csv").write_text(meters, encoding="utf-8")
    job = JOB.format(kind=kind, brand=brand, model=model, branch=branch)
    (sources / "jobs.csv").write_text(f"{JOB_HEADER}\n{job}\n", encoding="utf-8")
    lines = [_line(seq, *reading) for seq, reading in enumerate(readings, start=1)]
    (sources / "readings.csv").write_text(
        "\n".join([READING_HEADER, *lines]) + "\n", encoding="utf-8"
    )
    load([sources], database, settings=settings)
    points = list(dict.fromkeys(reading[0] for reading in readings))
    found = [run(database, "pages/reading_jobs", test_point=point) for point in points]
    return pd.concat(found, ignore_index=True)


def _line(
    seq: int,
    point: str,
    value: str,
    ambient: float | str = "",
    meter: str = "",
    state: str = "",
    nameplate: str = "",
) -> str:
    scale = "C" if ambient != "" else ""
    return f'A,1,{seq},{point},"{value}",{ambient},{scale},{meter},{state},{nameplate}'
