"""A thousand uploads are a thousand files; two thousand visits leave the server's memory level."""

import asyncio
import itertools
from pathlib import Path

import pytest

from dashboard.loading import uploads
from etl.load import load
from tests.ask import run
from tests.bench.soak import PAGES, resident_mb
from tests.bench.viewer import viewing
from tests.browser.conftest import serving
from tests.shop_builder import shop
from tests.trust.test_uploads import Sent

pytestmark = pytest.mark.slow
UPLOADS, VISITS, A_ROUND = 1_000, 2_000, 500
MOST_GROWTH = 1.1  # of the memory from the second round to the last
ROW = (
    "job_id,opened_on,closed_on,appliance_kind,symptom,disposition\n"
    "{},2026-01-01,2026-01-02,washer,leaks,repaired\n"
)


def test_a_thousand_uploads_of_one_name_are_a_thousand_jobs(tmp_path: Path):
    """As many batches as the page takes at once, one after another, each loaded."""
    paths = []
    for start in range(0, UPLOADS, uploads.MOST_FILES):
        batch = [
            Sent("jobs.csv", ROW.format(start + number).encode())
            for number in range(uploads.MOST_FILES)
        ]
        assert uploads.refusal(batch) is None
        place = tmp_path / str(start)
        place.mkdir()
        paths += uploads.saved(batch, place)
    assert uploads.refusal([Sent("jobs.csv")] * UPLOADS) is not None
    account = load(paths, tmp_path / "db")
    assert len(account.files) == UPLOADS
    assert run(tmp_path / "db", "pages/dataset").iloc[0].jobs == UPLOADS


def test_two_thousand_visits_leave_the_memory_level(tmp_path: Path):
    """Each visit is a session of its own that opens one page and leaves."""
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
    """
    folder = shop(tmp_path, jobs=jobs)
    with serving(folder) as (url, process):
        memory = []
        for _ in range(VISITS // A_ROUND):
            asyncio.run(_visits(url, A_ROUND))
            memory.append(resident_mb(process.pid))
    assert memory[-1] <= MOST_GROWTH * memory[1], memory


async def _visits(url: str, count: int) -> None:
    for page in itertools.islice(itertools.cycle(PAGES), count):
        async with viewing(url) as viewer:
            found = await viewer.open(page)
        assert found.error is None, found
