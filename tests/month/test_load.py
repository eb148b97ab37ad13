"""The month that the page opens on."""

from datetime import date
from pathlib import Path

import pytest

from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.month.load import default_month, months_of
from dashboard.stats import shrinkage
from tests.ask import measure

SINCE = date(2025, 3, 2)  # no other test asks from this day on: nothing is cached


@pytest.mark.parametrize("branch", [(), ("Harbour Street",)])
def test_it_is_the_newest_with_enough_repairs_and_nothing_is_fitted_for_it(
    branch: tuple[str, ...], sample_shop: Path, monkeypatch
):
    """The first chart of a server waits for it; a fit of the spread of rates takes 0.2 s more."""
    snapshot, filters = take(sample_shop), Filters(from_date=SINCE, branch=branch)
    months = months_of(snapshot, filters)
    with monkeypatch.context() as without:
        without.setattr(shrinkage, "fit", None)  # cannot be called
        newest = default_month(snapshot, months, filters)
        second = default_month(snapshot, months[:2], filters)
    fixes = measure(sample_shop, "first_time_fix", filters, group_by="month")
    enough = fixes[fixes["mature"] >= snapshot.settings["min_jobs"]]
    assert (newest, second) == (max(enough["group"]), months[1])
