"""What the pages ask when nothing is filtered; importing it imports what they draw with."""

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from dashboard import (  # noqa: F401 — the charts are imported for the pages to find them so
    charts_callbacks,
    charts_diagnosis,
    charts_fairness,
    charts_job,
    charts_order,
    charts_pricing,
    charts_readings,
    charts_review,
    charts_stock,
    data,
)
from dashboard.data import Filters
from dashboard.month_page import month_review, months_of, newest_told
from dashboard.price_plans import last_year
from dashboard.repair_prices import repair_prices
from dashboard.settings import read_settings
from dashboard.van_contents import filled, needed

FROM_ROWS = {"flat_rate", "van_stock"}  # pages that go by the rows beneath their measure


def questions(folder: Path) -> Iterator[tuple[str, Callable[[], Any]]]:
    """Give each question with its name, in the order of the menu. Raises nothing until asked."""
    yield "month", partial(_month, folder)
    for name in data.MEASURES:
        if name not in FROM_ROWS:
            yield name, partial(data.measure, folder, name)
    yield "flat_rate", partial(_prices, folder)
    yield "van_stock", partial(_van, folder)


def _month(folder: Path) -> None:
    if months := months_of(folder):
        month_review(folder, newest_told(folder, months))


def _prices(folder: Path) -> None:
    records = data.run(folder, "pages/dataset").iloc[0]
    if records.jobs:
        repair_prices(*_unfiltered(folder), last_year(records.as_of.date()))


def _van(folder: Path) -> None:
    asked = _unfiltered(folder)
    need, _, _ = needed(*asked)
    if need.kits:
        limit = "van_budget" if need.costs else "van_slots"
        filled(*asked, float(read_settings(folder)[limit]), bool(need.costs))


def _unfiltered(folder: Path) -> tuple[str, Filters, dict[str, Any]]:
    return str(data.version(folder)), Filters(), read_settings(folder)
