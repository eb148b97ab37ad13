"""A click on a chart or table in a browser: pages opened, tables at rest, lists counted."""

import re
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import Served, settled

DESK = {"width": 1440, "height": 1200}
FIRST_CELL = {"x": 30, "y": 52}  # of the first row, under the heads
AT_REST_MS, MOVES = 200, 50


def opened(browser: Browser, served: Served, address: str, size: dict[str, int] = DESK) -> Page:
    """Open an address and wait for its title."""
    page = served.watch(browser.new_page(viewport=size))
    page.goto(f"{served.url}/{address}")
    page.get_by_role("heading", level=1).wait_for(timeout=60_000)
    return settled(page)


def click_row(page: Page, table: Locator) -> dict[str, list[str]]:
    """Click the first row of a table that has come to rest; return the query of the list it opens.

    A table is drawn after the page has run, and charts above it still grow: a click at a place
    could meet another row, or none. The address is read when the list has been drawn, since the
    filters come into it after its path.
    """
    canvas = table.locator("canvas").first
    canvas.locator("[role=row]").nth(1).wait_for(state="attached", timeout=30_000)
    at_rest(page, canvas)
    canvas.click(position=FIRST_CELL, force=True)
    page.wait_for_url("**/jobs?**", timeout=30_000)
    heading_count(page)
    settled(page)
    return parse_qs(urlparse(page.url).query)


def at_rest(page: Page, element: Locator) -> None:
    """Wait until an element, scrolled into view, has kept its place and size for a moment."""
    element.scroll_into_view_if_needed(timeout=30_000)
    box, kept = element.bounding_box(), 0
    for _ in range(MOVES):
        page.wait_for_timeout(AT_REST_MS)
        now = element.bounding_box()
        kept = kept + 1 if now == box else 0
        if kept == 3:
            return
        box = now
    pytest.fail("a table that does not come to rest")


def heading_count(page: Page) -> int:
    """Return the count in the heading of the list of jobs."""
    heading = page.get_by_test_id("stMain").get_by_role("heading", level=3)
    expect(heading.first).to_have_text(re.compile(r"^[\d,]+ job"), timeout=30_000)
    return int(heading.first.inner_text().split(" ")[0].replace(",", ""))
