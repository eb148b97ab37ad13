"""The soak sees what a viewer would see: pages to their end, errors, new versions, memory."""

import asyncio
from pathlib import Path

import pytest

from tests.bench.soak import PAGES, resident_mb, soak
from tests.bench.soak_report import Soak, errors, report
from tests.bench.viewer import Run, viewing
from tests.browser.conftest import serving
from tests.shop_builder import shop

JOBS = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
"""


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system reports no memory")
def test_a_short_soak_opens_every_page_without_an_error(tmp_path: Path):
    found = asyncio.run(soak(shop(tmp_path, jobs=JOBS), viewers=2, seconds=8, think_s=1))
    assert errors(found) == {}
    assert {run.page for run in found.runs} == set(PAGES)
    assert len(found.runs) > len(PAGES) + 2
    assert found.idle_mb > 50
    assert "| 1 jobs | 2 | 0.1 |" in report([found], 1)


@pytest.mark.slow
def test_a_page_that_is_not_there_counts_as_an_error(tmp_path: Path):
    async def opened(url: str) -> list[Run]:
        async with viewing(url) as viewer:
            return [await viewer.open("no_such_page"), await viewer.open("callbacks")]

    with serving(shop(tmp_path, jobs=JOBS)) as (url, _):
        wrong, right = asyncio.run(opened(url))
    assert wrong.error == "page not found"
    assert right.error is None


def test_the_table_counts_waits_errors_and_memory():
    """Twenty waits of 1 … 20 s: their median is 10.5 s; quarters of 100 s hold 25 s each."""
    runs = [Run("month", float(n), "ValueError" if n == 3 else None) for n in range(1, 21)]
    memory = [(float(at), 100.0 + at) for at in range(0, 101, 5)]
    found = Soak(7, 10, 100, runs, memory, idle_mb=50, connected_mb=80, published=1)
    assert found.quarter_mb(4) == (175 + 200) / 2
    assert "| 20 | 1 | 10.50 s |" in found.row()
    assert "| 3.0 MB |" in found.row()  # (80 − 50) / 10
    assert "- month: 1 × ValueError" in report([found], 1)


def test_this_process_has_memory():
    if Path("/proc/self/status").exists():
        assert resident_mb("self") > 1
