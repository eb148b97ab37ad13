"""The load as polars does it well: lazy plans over the files, run by its streaming engine.

python -m tests.bench.rivals.polars_pipeline FOLDER OUT reads the messy files and writes Parquet.
"""

import sys
from pathlib import Path

import polars as pl

from tests.bench.rivals import lookups
from tests.bench.rivals.polars_columns import (
    clocks,
    days,
    flag,
    meaning,
    measured,
    minutes,
    money,
    named,
    read,
)
from tests.bench.rivals.polars_faults import fault, missing, orphans, unread


def columns_of(rows: pl.LazyFrame) -> list[str]:
    """Return the columns as the files have them."""
    return rows.collect_schema().names()


def write(name: str, checked: pl.LazyFrame, raw: list[str], kept: dict, out: Path) -> None:
    """Write the good rows, each once, and how many rows each fault has; one pass over the plan.

    Equal part lines of one file add up.
    """
    faults = pl.selectors.starts_with("fault ")
    good = checked.filter(pl.all_horizontal(faults.is_null()))
    good = (good if name == "part_lines" else good.unique(subset=raw)).select(**kept)
    counts = checked.select(faults.count()).unpivot(value_name="rows").select(
        pl.lit(name).alias("table_name"),
        pl.col("variable").str.extract(r"^fault (\w+)@", 1).alias("code"),
        pl.col("variable").str.extract(r"@(\w+)$", 1).alias("field"),
        pl.col("rows").cast(pl.Int64),
    )  # fmt: skip
    counts = counts.filter(pl.col("rows") > 0)
    plans = [
        good.sink_parquet(out / f"{name}.parquet", lazy=True),
        counts.sink_parquet(out / f"faults_{name}.parquet", lazy=True),
    ]
    pl.collect_all(plans, engine="streaming")


def jobs(folder: Path, out: Path) -> pl.LazyFrame:
    """Write the jobs; return each known job number with its kind, without one where refused."""
    rows = read(folder, "jobs")
    checked = rows.join(serial_keys(rows), how="left", on="serial").with_columns(
        kind=meaning("appliance_kind").fill_null("other_appliance"),
        disposition_id=meaning("disposition"),
        opened_day=days("opened_on"),
        closed_day=days("closed_on"),
        charged_money=money("charged"),
        parts_money=money("parts_charged"),
    )
    for field in ("symptom", "root_cause", "repair_code"):
        checked = named(checked, field)
    write("jobs", checked.with_columns(job_faults()), columns_of(rows), JOB_COLUMNS, out)
    good = pl.scan_parquet(out / "jobs.parquet").select("job_id", kind="appliance_kind")
    numbers = rows.select("job_id").drop_nulls().unique()
    return numbers.join(good, how="left", on="job_id").with_columns(is_known=pl.lit(True))


JOB_COLUMNS = {
    name: pl.col(name) for name in ("job_id", "branch", "unit_key", "brand", "model")
} | {
    "appliance_kind": pl.col("kind"),
    "disposition": pl.col("disposition_id"),
    "opened_on": pl.col("opened_day"),
    "closed_on": pl.col("closed_day"),
    "charged": pl.col("charged_money"),
    "parts_charged": pl.col("parts_money"),
    "symptom": pl.col("symptom_id"),
    "root_cause": pl.col("root_cause_id"),
    "repair_code": pl.col("repair_code_id"),
}


def job_faults() -> list[pl.Expr]:
    """Return what can be wrong with a job."""
    return [
        *map(missing, ("job_id", "opened_on", "closed_on", "disposition")),
        unread("date_not_understood", "opened_on", "opened_day"),
        unread("date_not_understood", "closed_on", "closed_day"),
        fault("closed_before_opened", "closed_on", pl.col("closed_day") < pl.col("opened_day")),
        unread("unknown_word", "disposition", "disposition_id"),
        unread("number_not_understood", "charged", "charged_money"),
        unread("number_not_understood", "parts_charged", "parts_money"),
    ]


def serial_keys(rows: pl.LazyFrame) -> pl.LazyFrame:
    """Return each serial with its keyed hash."""
    serials = rows.select(pl.col("serial").unique()).drop_nulls().collect(engine="streaming")
    hashes = lookups.keys(serials["serial"].to_list())
    return pl.LazyFrame({"serial": hashes.keys(), "unit_key": hashes.values()})


def visits(folder: Path, known: pl.LazyFrame, out: Path) -> None:
    """Write the visits."""
    rows = read(folder, "visits")
    checked = rows.join(known, how="left", on="job_id").with_columns(
        arrived=clocks("arrived_at"),
        labour_min=minutes("minutes_on_job"),
        travel_min=minutes("travel_minutes"),
    )
    checked = checked.with_columns(
        *orphans(),
        *map(missing, ("technician", "outcome")),
        unread("date_not_understood", "arrived_at", "arrived"),
        unread("number_not_understood", "minutes_on_job", "labour_min"),
        unread("number_not_understood", "travel_minutes", "travel_min"),
        fault("minutes_not_possible", "minutes_on_job", pl.col("labour_min") > 1440),
        fault("minutes_not_possible", "travel_minutes", pl.col("travel_min") > 1440),
    )
    kept = {name: pl.col(name) for name in ("job_id", "technician", "labour_min", "travel_min")} | {
        "visit_no": pl.col("visit_no").cast(pl.Int32),
        "arrived_at": pl.col("arrived"),
        "outcome": meaning("outcome"),
    }
    write("visits", checked, columns_of(rows), kept, out)


def readings(folder: Path, known: pl.LazyFrame, out: Path) -> None:
    """Write the readings, numbers in base units."""
    rows = read(folder, "readings")
    checked = measured(named(rows.join(known, how="left", on="job_id"), "test_point"))
    sound = pl.col("kind").is_not_null() & pl.all_horizontal(
        pl.col("test_point", "value").is_not_null()
    )
    problems = [
        fault(code, "value", sound & (pl.col("problem") == code))
        for code in lookups.REFUSED.values()
    ]
    checked = checked.with_columns(*orphans(), missing("test_point"), missing("value"), *problems)
    kept = {name: pl.col(name) for name in ("job_id", "meter", "base_value")} | {
        "visit_no": pl.col("visit_no").cast(pl.Int32),
        "test_point": pl.col("test_point_id"),
        "test_min": minutes("minutes"),
        "is_open": (pl.col("state") == "open").fill_null(False),
        "is_closed": (pl.col("state") == "closed").fill_null(False),
    }
    write("readings", checked, columns_of(rows), kept, out)


def part_lines(folder: Path, known: pl.LazyFrame, out: Path) -> None:
    """Write the part lines."""
    rows = read(folder, "part_lines")
    checked = named(rows.join(known, how="left", on="job_id"), "component").with_columns(
        pieces=pl.col("quantity").cast(pl.Float64, strict=False),
        cost=money("unit_cost"),
        charge=money("unit_charge"),
    )
    checked = checked.with_columns(
        *orphans(),
        missing("part_no"),
        unread("number_not_understood", "quantity", "pieces"),
        unread("number_not_understood", "unit_cost", "cost"),
        unread("number_not_understood", "unit_charge", "charge"),
    )
    kept = {
        "job_id": pl.col("job_id"),
        "part_no": pl.col("part_no"),
        "visit_no": pl.col("visit_no").cast(pl.Int32),
        "quantity": pl.col("pieces"),
        "component": pl.col("component_id"),
        "unit_cost": pl.col("cost"),
        "unit_charge": pl.col("charge"),
        "is_from_van": flag("from_van"),
        "is_on_hand": flag("on_hand"),
    }
    write("part_lines", checked, columns_of(rows), kept, out)


def main(folder: Path, out: Path) -> None:
    """Read the files, write the four tables and the reasons for quarantine."""
    out.mkdir(parents=True, exist_ok=True)
    known = jobs(folder, out)
    for sort in (visits, readings, part_lines):
        sort(folder, known, out)
    faults = pl.scan_parquet(out / "faults_*.parquet")
    faults.sink_parquet(out / "quarantine.parquet")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
