"""What the pages ask first, unfiltered and by branch; importing it imports what they draw with."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

# The charts are imported here so that pages find them loaded.
import dashboard.callbacks.charts
import dashboard.diagnosis.charts
import dashboard.diagnosis.sequence_charts
import dashboard.fairness.charts
import dashboard.job.charts
import dashboard.pricing.charts
import dashboard.readings.charts
import dashboard.readings.review_charts
import dashboard.van_stock.charts  # noqa: F401
from dashboard.database import query as data
from dashboard.database.query import Filters
from dashboard.errors import UserError
from dashboard.month.load import month_review, months_of, newest_told
from dashboard.pricing.plans import last_year
from dashboard.pricing.repair_prices import repair_prices
from dashboard.settings.file import read_settings
from dashboard.van_stock.contents import filled, needed

FROM_ROWS = {"flat_rate", "van_stock"}  # pages that go by the rows beneath their measure
MOST_BRANCHES = 5  # with more of them a version would be busy long with what few ask


def questions(folder: Path) -> Iterator[tuple[str, Callable[[], Any]]]:
    """Give each question with its name, in the order of the menu. Raises nothing until asked."""
    yield "month", partial(_month, folder, Filters())
    for name in data.MEASURES:
        if name not in FROM_ROWS:
            yield name, partial(data.measure, folder, name)
    yield "flat_rate", partial(_prices, folder, Filters())
    yield "van_stock", partial(_van, folder)
    for branch in _branches(folder):  # the owner's and the pricer's first choice, and the longest
        chosen = Filters(branch=(branch,))
        yield "month", partial(_month, folder, chosen)
        yield "flat_rate", partial(_prices, folder, chosen)


def _branches(folder: Path) -> list[str]:
    """Return the branches, if there are a few; none where they cannot be read."""
    try:
        choices = data.run(folder, "pages/choices")
    except UserError:
        return []
    found = choices.loc[choices["filter"] == "branch", "value"].tolist()
    return found if 1 < len(found) <= MOST_BRANCHES else []


def _month(folder: Path, filters: Filters) -> None:
    if months := months_of(folder, filters):
        month_review(folder, newest_told(folder, months, filters), filters)


def _prices(folder: Path, filters: Filters) -> None:
    records = data.run(folder, "pages/dataset").iloc[0]
    if records.jobs:
        repair_prices(*_asked(folder, filters), last_year(records.as_of.date()))


def _van(folder: Path) -> None:
    asked = _asked(folder, Filters())
    need, _, _ = needed(*asked)
    if need.kits:
        limit = "van_budget" if need.costs else "van_slots"
        filled(*asked, float(read_settings(folder)[limit]), bool(need.costs))


def _asked(folder: Path, filters: Filters) -> tuple[str, Filters, dict[str, Any]]:
    return str(data.version(folder)), filters, read_settings(folder)
