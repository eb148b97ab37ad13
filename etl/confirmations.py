"""What a load wants confirmed before it would lose jobs, measures or earlier meanings."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import duckdb

from etl.mapping.match import Claim
from etl.raw.store import LoadError

# what each field of a table is the ground of; a file that lacks its column takes that away
GROUND = {
    ("jobs", "customer"): "callbacks",
    ("jobs", "serial"): "callbacks",
    ("jobs", "closed_on"): "everything that counts closed jobs",
    ("jobs", "minutes_on_job"): "time on job and flat rates",
    ("jobs", "charged"): "what was charged",
    ("jobs", "line_amount"): "what was charged",
    ("jobs", "line_minutes"): "time on job and flat rates",
    ("jobs", "symptom"): "complaints and callbacks",
    ("jobs", "root_cause"): "root causes",
    ("visits", "minutes_on_job"): "time on job and flat rates",
    ("visits", "travel_minutes"): "time on the road",
    ("visits", "outcome"): "return trips",
    ("part_lines", "quantity"): "parts used",
    ("part_lines", "unit_cost"): "cost of parts",
}
OPTIONS = {
    "allows_fewer": "--allow-fewer",
    "allows_missing": "--allow-missing",
    "stored_rows": "--stored-rows reread or --stored-rows keep",
}
EXAMPLES = 5


class Question(LoadError):
    """A load that wants a decision first; `option` is the field of LoadOptions that gives it."""

    def __init__(self, option: str, message: str) -> None:
        self.option = option
        super().__init__(message)

    def __reduce__(self) -> tuple[Any, ...]:
        """Travel between processes by what it was made of."""
        return type(self), (self.option, str(self))


@dataclass
class Questions:
    """What a load asks: an error unless it was decided, a line of the account in a check."""

    is_check: bool
    asked: list[tuple[str, str]] = field(default_factory=list)

    def ask(self, option: str, message: str, is_decided: bool) -> None:
        """Ask for the option unless it was given; raise Question where nothing may go on."""
        self.asked.append((option, message))
        if not is_decided and not self.is_check:
            raise Question(
                option, f"{message}; nothing was changed; to load all the same: {OPTIONS[option]}"
            )


def missing_columns(claims: Iterable[Claim]) -> list[str]:
    """Say of each file which columns are the ground of a measure and are not in it."""
    found = []
    for claim in claims:
        lost = {
            GROUND[claim.table.table, name]: None
            for name, headers in claim.table.columns.items()
            if (claim.table.table, name) in GROUND and set(headers) & set(claim.missing)
        }
        if lost:
            found.append(
                f"{claim.source.shown_file}: {', '.join(claim.missing)}: not in this file, and "
                f"without them there is no ground for {', '.join(lost)}"
            )
    return found


def fewer_jobs(connection: duckdb.DuckDBPyConnection, previous: Path | None) -> str:
    """Say which jobs of the last version are gone, "" where there are not fewer than before."""
    if previous is None:
        return ""
    connection.execute("ATTACH $path AS last (READ_ONLY)", {"path": str(previous)})
    before = connection.execute("SELECT job_id FROM last.core.jobs").fetchnumpy()["job_id"]
    connection.execute("DETACH last")
    after = connection.execute("SELECT job_id FROM core.jobs").fetchnumpy()["job_id"]
    if len(after) >= len(before):
        return ""
    gone = sorted(set(before) - set(after))
    return (
        f"{len(after):,} jobs would be left where there are {len(before):,}: "
        f"{', '.join(gone[:EXAMPLES])}{' …' if len(gone) > EXAMPLES else ''} would be gone"
    )
