"""A long load in the browser shows its steps and is stopped; the last version stays as it was."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import settled
from tests.etl.test_cancellation import JOBS, content
from tests.shop_builder import shop

pytestmark = pytest.mark.browser
MANY = 250_000


def test_a_load_of_a_large_file_is_stopped(browser: Browser, serve, tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    before = content(folder)
    export = tmp_path / "jobs_of_years.csv"
    header, row = (
        ",".join(each.strip() for each in line.split("|")) for line in JOBS.split("\n")[1:3]
    )
    export.write_text(
        "\n".join([header, *(f"{i},{row.split(',', 1)[1]}" for i in range(MANY))]), encoding="utf-8"
    )
    served = serve(folder)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(f"{served.url}/add_records")
    settled(page)
    page.locator("input[type=file]").set_input_files(export)
    page.get_by_role("button", name="Load", exact=True).click(timeout=60_000)
    expect(page.get_by_text("Loading: core").first).to_be_visible(timeout=60_000)
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(page.get_by_text("Load stopped; nothing was changed.")).to_be_visible(timeout=30_000)
    assert content(folder) == before
    expect(page.get_by_role("button", name="Load", exact=True)).to_be_enabled()
    served.check()
    page.close()
