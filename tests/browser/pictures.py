"""Retake the README's pictures from the sample shop: python -m tests.browser.pictures."""

import tempfile
from importlib.resources import files
from pathlib import Path

from playwright.sync_api import sync_playwright

from dashboard.text import pdf
from etl.load import load
from tests.browser.conftest import ARGUMENTS, serving, settled

TARGET = Path(__file__).parents[2] / "dashboard" / "pictures"
PICTURES = {
    "month": "?month=2026-03",
    "first_time_fix": "first_time_fix",
    "misdiagnosis": "misdiagnosis",
    "order_of_tests": "order_of_tests",
    "flat_rate": "flat_rate",
}
WIDTH, HEIGHT = 1280, 860


def main() -> None:
    """Serve the sample shop and take one picture a page."""
    TARGET.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        load([Path(str(files("sample_data")))], Path(scratch))
        with serving(Path(scratch)) as (url, _):
            browser = playwright.chromium.launch(executable_path=pdf.browser(), args=ARGUMENTS)
            page = browser.new_page(viewport={"width": WIDTH, "height": HEIGHT})
            for name, path in PICTURES.items():
                page.goto(f"{url}/{path}")
                page.get_by_role("heading", level=1).wait_for()
                settled(page).wait_for_timeout(1500)
                page.screenshot(path=TARGET / f"{name}.png")
            browser.close()


if __name__ == "__main__":
    main()
