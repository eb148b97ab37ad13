"""The month that the page opens on, and what to do while others read another month."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from pathlib import Path
from threading import Event

import pytest

from dashboard.database.snapshot import take
from dashboard.filters import Filters
from dashboard.month.load import default_month, month_review, months_of
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


def test_what_to_do_in_one_month_is_found_once_and_does_not_wait_for_another(sample_shop: Path):
    """The first reader's month once stood still for as long as the warm-up looked at another."""
    review, begun, go_on = month_review(take(sample_shop), "2026-03"), Event(), Event()

    def slow() -> tuple:
        begun.set()
        assert go_on.wait(10)
        return ()

    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(lambda: replace(review, find_actions=slow).actions)
        assert begun.wait(10)
        assert replace(review).actions is review.actions
        go_on.set()
        assert waiting.result() == ()
