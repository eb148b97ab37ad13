"""No table is cut at the right on a page 1440 wide, under Details neither; cards fit on a phone."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from dashboard.ui.menu import TITLES
from tests.browser.clicks import opened
from tests.browser.conftest import settled

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PATHS = {"month": "month?month=2026-03", "jobs": "jobs?list=not_fixed"}
CLOSED = "[data-testid=stMain] details:not([open]) > summary"
CUT = """() => [...document.querySelectorAll('[data-testid=stDataFrame]')].flatMap(table => {
  const inside = table.querySelector('.dvn-scroller');
  const is_cut = table.offsetParent && inside && inside.scrollWidth > inside.clientWidth + 2;
  const heads = [...table.querySelectorAll('[role=columnheader]')].map(head => head.textContent);
  return is_cut ? [heads.join(', ')] : [];
})"""


def cut_tables(page: Page) -> list[str]:
    """Open every box of a page; return the heads of the tables that scroll sideways."""
    for box in page.query_selector_all(CLOSED):
        box.click()
    settled(page)
    found: list[str] = page.evaluate(CUT)
    return found


def test_no_table_of_any_page_is_cut(browser: Browser, serve, sample_shop: Path):
    served, found = serve(sample_shop), {}
    for name in TITLES:
        page = opened(browser, served, PATHS.get(name, name))
        if tables := cut_tables(page):
            found[name] = tables
        page.close()
    assert found == {}


@pytest.mark.parametrize("name", ["technician_card", "complaint_sheet"])
def test_what_is_read_on_the_road_fits_on_a_phone(
    name: str, browser: Browser, serve, sample_shop: Path
):
    page = opened(browser, serve(sample_shop), name, {"width": 390, "height": 800})
    assert cut_tables(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.get_by_test_id("stMain").get_by_role("button", name="Job ").count() >= 3
    page.close()
