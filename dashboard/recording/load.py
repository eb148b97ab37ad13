"""What to write down first: one ranking for the page, the month, the card and the command."""

from dataclasses import replace
from datetime import date

import pandas as pd

from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.recording.compute import by_field, first_to_write
from dashboard.recording.sentences import in_the_month, most
from dashboard.rows import each_row


def fields_of(snapshot: Snapshot, filters: Filters | None) -> pd.DataFrame:
    """Return the fields of the jobs under the filters, the one to write down first on top."""
    return by_field(measure(snapshot, "recording", filters))


def what_first(snapshot: Snapshot, filters: Filters | None) -> str:
    """Say which field to write down first."""
    return most(first_to_write(fields_of(snapshot, filters)))


def what_first_and_in_month(
    snapshot: Snapshot, filters: Filters, month: str, days: tuple[date, date]
) -> str:
    """Say what to write down first, and how often the month, from day to day, lacks it.

    The ranking is that of all records under the filters, as on the page of what is not written
    down: a month alone could name another field than the page does.
    """
    first = first_to_write(fields_of(snapshot, filters))
    if first is None:
        return most(None)
    now = fields_of(snapshot, replace(filters, from_date=days[0], to_date=days[1]))
    of_month = now[now["field"] == first.field]
    return " ".join([most(first), *(in_the_month(row, month) for row in each_row(of_month))])
