"""What the pages ask first, unfiltered and by branch, and what they draw with."""

from collections.abc import Callable, Iterator
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot, take
from dashboard.errors import UserError
from dashboard.filters import Filters
from dashboard.measures import MEASURES, measure
from dashboard.month.compare import MONTHS_BEFORE, compared
from dashboard.month.load import default_month, month_review, months_of, records_of
from dashboard.month.periods import month_days, months_before
from dashboard.pricing.plans import last_year
from dashboard.pricing.repair_prices import repair_prices

DRAWN_WITH = (  # imported when the first page is ready, so that the others find them loaded
    "dashboard.callbacks.charts",
    "dashboard.diagnosis.charts",
    "dashboard.diagnosis.sequence_charts",
    "dashboard.fairness.charts",
    "dashboard.job.charts",
    "dashboard.pricing.charts",
    "dashboard.readings.charts",
    "dashboard.readings.review_charts",
    "dashboard.van_stock.charts",
)
FROM_ROWS = {"flat_rate", "van_stock"}  # pages that go by the rows beneath their measure
MOST_BRANCHES = 5  # with more of them a version would be busy long with what few ask


def questions(folder: Path) -> Iterator[tuple[str, Callable[[], Any]]]:
    """Give each question with its name, in the order of the menu; none of an unreadable folder."""
    try:
        snapshot = take(folder)
    except UserError:
        return
    yield "month", partial(_month, snapshot, Filters())
    for name in DRAWN_WITH:
        yield name, partial(import_module, name)
    for name in MEASURES:
        if name not in FROM_ROWS:
            yield name, partial(measure, snapshot, name)
    yield "flat_rate", partial(_prices, snapshot, Filters())
    yield "van_stock", partial(_van, snapshot)
    for branch in _branches(snapshot):  # the owner's and the pricer's first choice, and the longest
        chosen = Filters(branch=(branch,))
        yield "month", partial(_month, snapshot, chosen)
        yield "flat_rate", partial(_prices, snapshot, chosen)


def _branches(snapshot: Snapshot) -> list[str]:
    """Return the branches, if there are a few."""
    choices = run(snapshot, "pages/choices")
    found = choices.loc[choices["filter"] == "branch", "value"].tolist()
    return found if 1 < len(found) <= MOST_BRANCHES else []


def _month(snapshot: Snapshot, filters: Filters) -> None:
    if months := months_of(snapshot, filters):
        month = default_month(snapshot, months, filters)
        _ = month_review(snapshot, month, filters).actions
        periods = (month_days(month), months_before(month, MONTHS_BEFORE))
        compared(*periods, records_of(snapshot), filters)


def _prices(snapshot: Snapshot, filters: Filters) -> None:
    records = run(snapshot, "pages/dataset").iloc[0]
    if records.jobs:
        repair_prices(snapshot, filters, last_year(records.as_of.date()))


def _van(snapshot: Snapshot) -> None:
    from dashboard.van_stock.contents import filled, needed  # with an optimizer

    need, _, _ = needed(snapshot, Filters())
    if need.kits:
        limit = "van_budget" if need.costs else "van_slots"
        filled(snapshot, Filters(), float(snapshot.settings[limit]), bool(need.costs))
