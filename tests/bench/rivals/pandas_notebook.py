"""The load as a careful notebook does it: pandas, one column after the other.

python -m tests.bench.rivals.pandas_notebook FOLDER OUT reads the messy files and writes Parquet.
"""

import sys
from pathlib import Path

import pandas as pd

from tests.bench.rivals import lookups
from tests.bench.rivals.pandas_columns import (
    flags,
    folded,
    measured,
    minutes,
    money,
    named,
    read,
    times,
)


class Sorted:
    """Sorts the rows of one table into good ones and reasons for quarantine."""

    def __init__(self, name: str, rows: pd.DataFrame) -> None:
        self.name, self.rows, self.faults = name, rows, []
        self.is_bad = pd.Series(False, index=rows.index)

    def refuse(self, code: str, field: str, where: pd.Series) -> None:
        """Refuse the rows where something is so."""
        where = where.fillna(False).astype(bool)
        self.is_bad |= where
        self.faults.append((self.name, code, field, int(where.sum())))

    def refuse_missing(self, *fields: str) -> None:
        """Refuse rows that lack a field."""
        for field in fields:
            self.refuse("missing", field, self.rows[field].isna())

    def refuse_unread(self, code: str, parsed: dict[str, pd.Series]) -> None:
        """Refuse rows with a text that nothing was made of."""
        for field, meaning in parsed.items():
            self.refuse(code, field, self.rows[field].notna() & meaning.isna())

    def refuse_orphans(self, jobs: pd.DataFrame) -> None:
        """Refuse rows whose job is not named, not known, or itself refused."""
        is_known = self.rows["job_id"].isin(jobs["job_id"])
        self.refuse_missing("job_id")
        self.refuse("no_such_job", "job_id", self.rows["job_id"].notna() & ~is_known)
        self.refuse("parent_quarantined", "job_id", is_known & self.rows["kind"].isna())

    def good(self, parsed: pd.DataFrame) -> pd.DataFrame:
        """Return what the good rows mean, each row once; equal part lines of one file add up."""
        is_copy = self.rows.duplicated() if self.name != "part_lines" else False
        return parsed[~self.is_bad & ~is_copy]


def with_kinds(rows: pd.DataFrame, jobs: pd.DataFrame) -> pd.DataFrame:
    """Return lines with the kind of their job's appliance, without one where it was refused."""
    good = jobs[jobs["is_good"]].drop_duplicates("job_id")
    return rows.assign(kind=rows["job_id"].map(good.set_index("job_id")["appliance_kind"]))


def jobs_of(rows: pd.DataFrame) -> tuple[pd.DataFrame, pd.DataFrame, list]:
    """Return the job numbers with their fate, the good jobs and the faults."""
    found = Sorted("jobs", rows)
    days = {field: times(rows[field], lookups.DAYS) for field in ("opened_on", "closed_on")}
    amounts = {field: money(rows[field]) for field in ("charged", "parts_charged")}
    ids = {
        field: folded(rows[field]).map(lookups.kind_of_word(field))
        for field in ("appliance_kind", "disposition")
    }
    ids["appliance_kind"] = ids["appliance_kind"].fillna("other_appliance")
    found.refuse_missing("job_id", *days, "disposition")
    found.refuse_unread("date_not_understood", days)
    found.refuse("closed_before_opened", "closed_on", days["closed_on"] < days["opened_on"])
    found.refuse_unread("unknown_word", ids)
    found.refuse_unread("number_not_understood", amounts)
    by_kind = rows.assign(kind=ids["appliance_kind"])
    words = {field: named(by_kind, field) for field in ("symptom", "root_cause", "repair_code")}
    keys = lookups.keys(rows["serial"].dropna().unique().tolist())
    jobs = rows[["job_id", "branch", "brand", "model"]].assign(
        unit_key=rows["serial"].map(keys), **days, **ids, **words, **amounts
    )
    known = jobs[["job_id", "appliance_kind"]].assign(is_good=~found.is_bad)
    return known, found.good(jobs), found.faults


def visits_of(rows: pd.DataFrame, jobs: pd.DataFrame) -> tuple[pd.DataFrame, list]:
    """Return the good visits and the faults."""
    rows = with_kinds(rows, jobs)
    found = Sorted("visits", rows)
    arrived = times(rows["arrived_at"], lookups.CLOCKS)
    spent = {field: minutes(rows[field]) for field in ("minutes_on_job", "travel_minutes")}
    found.refuse_orphans(jobs)
    found.refuse_missing("technician", "outcome")
    found.refuse_unread("date_not_understood", {"arrived_at": arrived})
    found.refuse_unread("number_not_understood", spent)
    for field, numbers in spent.items():
        found.refuse("minutes_not_possible", field, numbers > 1440)
    visits = rows[["job_id", "technician"]].assign(
        visit_no=pd.to_numeric(rows["visit_no"]).astype("Int32"),
        arrived_at=arrived,
        labour_min=spent["minutes_on_job"],
        travel_min=spent["travel_minutes"],
        outcome=folded(rows["outcome"]).map(lookups.kind_of_word("outcome")),
    )
    return found.good(visits), found.faults


def readings_of(rows: pd.DataFrame, jobs: pd.DataFrame) -> tuple[pd.DataFrame, list]:
    """Return the good readings, numbers in base units, and the faults."""
    rows = with_kinds(rows, jobs)
    found = Sorted("readings", rows)
    found.refuse_orphans(jobs)
    found.refuse_missing("test_point", "value")
    points = named(rows, "test_point")
    values = measured(rows["value"], rows["unit"], points)
    is_whole = ~found.is_bad
    for code in lookups.REFUSED.values():
        found.refuse(code, "value", is_whole & (values["problem"] == code))
    readings = rows[["job_id", "meter"]].assign(
        test_point=points,
        visit_no=pd.to_numeric(rows["visit_no"]).astype("Int32"),
        test_min=minutes(rows["minutes"]),
        **values[["base_value", "is_open", "is_closed"]],
    )
    return found.good(readings), found.faults


def part_lines_of(rows: pd.DataFrame, jobs: pd.DataFrame) -> tuple[pd.DataFrame, list]:
    """Return the good part lines and the faults."""
    rows = with_kinds(rows, jobs)
    found = Sorted("part_lines", rows)
    quantity = pd.to_numeric(rows["quantity"], errors="coerce")
    amounts = {field: money(rows[field]) for field in ("unit_cost", "unit_charge")}
    found.refuse_orphans(jobs)
    found.refuse_missing("part_no")
    found.refuse_unread("number_not_understood", {"quantity": quantity, **amounts})
    lines = rows[["job_id", "part_no"]].assign(
        visit_no=pd.to_numeric(rows["visit_no"]).astype("Int32"),
        quantity=quantity,
        component=named(rows, "component"),
        is_from_van=flags(rows["from_van"]),
        is_on_hand=flags(rows["on_hand"]),
        **amounts,
    )
    return found.good(lines), found.faults


LINES = {"visits": visits_of, "readings": readings_of, "part_lines": part_lines_of}


def main(folder: Path, out: Path) -> None:
    """Read the files, write the four tables and the reasons for quarantine."""
    out.mkdir(parents=True, exist_ok=True)
    known, jobs, faults = jobs_of(read(folder, "jobs"))
    jobs.to_parquet(out / "jobs.parquet")
    del jobs
    for name, sort in LINES.items():
        table, more = sort(read(folder, name), known)
        table.to_parquet(out / f"{name}.parquet")
        faults += more
    counts = pd.DataFrame(faults, columns=["table_name", "code", "field", "rows"])
    counts[counts["rows"] > 0].to_parquet(out / "quarantine.parquet")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
