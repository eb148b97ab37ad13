"""A German and a French shop's invoice lines, from file to dashboard by clicks alone.

Every sum of money and minutes is counted again in pandas from the file (tests/…/lines/shops.py).
"""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.ask import run
from tests.browser.conftest import go, settled
from tests.etl.mapping.lines import shops
from tests.etl.rows import rows

pytestmark = pytest.mark.browser
SUMS = ("charged", "labour_charged", "parts_charged", "tax", "labour_min", "travel_min")


def add(page: Page, export: Path) -> None:
    """Upload an export, join the spellings of its people, and load it."""
    go(page, "Records", "Add records")
    page.locator("input[type=file]").set_input_files(export)
    expect(page.get_by_role("heading", name="One name, written twice?")).to_be_visible(
        timeout=30_000
    )
    settled(page)
    page.get_by_text("Tick those that are at least 90% alike").click()
    settled(page)
    page.get_by_role("button", name="Load", exact=True).click()
    expect(page.get_by_text("Loaded: the pages show it now.")).to_be_visible(timeout=60_000)


@pytest.mark.parametrize("shop", [shops.DE, shops.FR], ids=["de", "fr"])
def test_a_foreign_export_is_loaded_by_clicks_and_agrees_with_a_recount(
    browser: Browser, serve, tmp_path: Path, shop: shops.Shop
):
    export = shops.write(shop, tmp_path / f"{shop.name}.csv")
    served = serve(tmp_path / "db")
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(served.url)
    settled(page)
    add(page, export)
    found = rows(
        tmp_path / "db",
        "SELECT job_id, charged, labour_charged, parts_charged, tax, labour_min, travel_min "
        "FROM core.jobs ORDER BY job_id",
    ).set_index("job_id")
    wanted = shops.recount(shop, export)
    assert list(found.index) == list(wanted.index)
    for name in SUMS:
        theirs = found[name].astype(float).fillna(0.0)
        assert (theirs - wanted[name]).abs().max() < 0.005, name
    names = run(tmp_path / "db", "pages/written_names").query("field == 'technician'")["name"]
    assert set(names) == set(shop.crew)
    go(page, "Owner", "First-time fix")
    expect(page.get_by_text("were joined into 2 names")).to_be_visible(timeout=30_000)
    served.check()
    page.close()
