"""The month for page and command alike: the review and its file, from a snapshot."""

from dataclasses import replace
from functools import partial

import pandas as pd

from dashboard.changes.load import outlooks
from dashboard.changes.sentences import target
from dashboard.database.labels import read_labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData
from dashboard.filters import Filters
from dashboard.measures import defaults, measure
from dashboard.month.html import Paper, report_html
from dashboard.month.periods import month_days
from dashboard.month.review import MonthReview, Records, review
from dashboard.notes.changes import read_changes
from dashboard.recording.load import what_first_and_in_month
from dashboard.text.cautions import cautions

ON_THE_REPORT = ("records", "local_law", "live", "limits")


def months_of(snapshot: Snapshot, filters: Filters | None = None) -> list[str]:
    """Return the months in which a job was closed, in order."""
    return measure(snapshot, "month_review", filters).query("closed > 0")["month"].tolist()


def default_month(snapshot: Snapshot, months: list[str], filters: Filters | None = None) -> str:
    """Return the newest of some months with enough repairs past the window, else the newest."""
    asked = defaults(snapshot) | {"group_by": "month"}  # of the measure the counts alone
    fixes = run(snapshot, "measures/first_time_fix", filters, **asked)
    mature = fixes.set_index("group")["mature"]
    least = snapshot.settings["min_jobs"]
    return next((m for m in reversed(months) if mature.get(m, 0) >= least), months[-1])


def records_of(snapshot: Snapshot) -> Records:
    """Return what months are computed from in a snapshot."""

    def pages(name: str, chosen: Filters, **parameters: object) -> pd.DataFrame:
        return run(snapshot, f"pages/{name}", chosen, **parameters)

    def base(name: str, chosen: Filters) -> pd.DataFrame:
        return run(snapshot, f"measures/{name}", chosen, **defaults(snapshot))

    dataset = run(snapshot, "pages/dataset").iloc[0]
    return Records(
        partial(measure, snapshot),
        pages,
        base,
        read_labels(snapshot),
        dict(snapshot.settings),
        str(dataset.currency) if dataset.currencies == 1 else "",
        dataset.as_of.date(),
    )


def month_review(snapshot: Snapshot, month: str, filters: Filters | None = None) -> MonthReview:
    """Return the review of one month."""
    found = review(month, records_of(snapshot), filters or Filters())
    return with_notes(found, snapshot, filters or Filters())


def with_notes(found: MonthReview, snapshot: Snapshot, filters: Filters) -> MonthReview:
    """Add to a review the changes noted until its end, and the targets with their chances."""
    ever = replace(filters, from_date=None, to_date=None)
    days = month_days(found.month)
    changes = [each for each in read_changes(snapshot.folder) if each.changed_on <= days[1]]
    return replace(
        found,
        marks=tuple((each.changed_on, each.what) for each in changes),
        targets=tuple(target(each) for each in outlooks(snapshot, ever)),
        not_written=what_first_and_in_month(snapshot, filters, found.month, days),
    )


def month_html(snapshot: Snapshot, month: str, filters: Filters | None = None) -> str:
    """Return the printed month as HTML. Raises NoData when the database holds no job."""
    dataset = run(snapshot, "pages/dataset").iloc[0]
    if dataset.jobs == 0:
        raise NoData("the database holds no job: load some records first")
    records, (first, last) = records_of(snapshot), month_days(month)
    paper = Paper(
        str(snapshot.settings["shop_name"]),
        first,
        min(last, records.as_of) if records.as_of >= first else last,
        records.as_of,
        records.currency,
        snapshot.window_days,
        tuple(cautions()[name][1] for name in ON_THE_REPORT),
    )
    return report_html(month_review(snapshot, month, filters), paper)
