"""Words that nobody knows, answered in the browser in one table: the numbers move."""

import csv
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from etl.load import load
from tests.browser.conftest import go, settled
from tests.etl.exports import mapping
from tests.etl.rows import rows

pytestmark = pytest.mark.browser
# what an invented office writes: a status that holds its jobs back, a complaint, an appliance
WRITTEN = (
    ("Kühlschrank", "kühlt nicht", "zugmazug", 9),
    ("Waschmaschine", "flurbelt", "erledigt", 6),
    ("Schnorpel", "leaking", "erledigt", 3),
    ("Geschirrspüler", "läuft aus", "erledigt", 12),
)
COLUMNS = {
    "job_id": "Nr", "opened_on": "Tag", "closed_on": "Tag", "appliance_kind": "Art",
    "symptom": "Klage", "disposition": "Stand",
}  # fmt: skip
MEANINGS = ("how it closed: repaired", "complaint: Noise", "appliance: food waste")  # row by row
CELL_PX = 35


def shop(folder: Path) -> Path:
    """Load thirty jobs, nine of which wait for the meaning of their status."""
    path = folder / "jobs.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["Nr", "Tag", "Art", "Klage", "Stand"])
        number = 0
        for kind, complaint, status, count in WRITTEN:
            for _ in range(count):
                number += 1
                writer.writerow([number, f"2026-01-{number % 27 + 1:02d}", kind, complaint, status])
    table = {"table": "jobs", "files": ["*"], "columns": COLUMNS}
    load([path], folder / "db", mapping=mapping("office", table))
    return folder / "db"


def choose(page: Page, row: int, start: str) -> None:
    """Choose the meaning of a row of the table by typing its beginning."""
    table = page.get_by_test_id("stDataFrame").nth(1)  # below the rows to fix
    table.scroll_into_view_if_needed()
    box = table.bounding_box()
    assert box
    place = box["x"] + box["width"] - 60, box["y"] + CELL_PX * (row + 1.5)
    page.mouse.dblclick(*place)
    page.wait_for_timeout(600)
    page.keyboard.type(start, delay=15)
    page.wait_for_timeout(600)
    page.keyboard.press("Enter")
    settled(page)


def test_words_are_answered_in_one_table_and_the_numbers_move(
    browser: Browser, serve, tmp_path: Path
):
    folder = shop(tmp_path)
    before = rows(folder, "SELECT text, jobs_held FROM core.unknown_words ORDER BY jobs_held DESC")
    assert before.values.tolist()[0] == ["zugmazug", 9]
    served = serve(folder)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1300}))
    page.goto(served.url)
    settled(page)
    go(page, "Records", "What was loaded")
    settled(page)
    expect(page.get_by_text("3 words we do not know:")).to_be_visible(timeout=30_000)
    expect(page.get_by_text("9 jobs can be counted")).to_be_visible()
    for row, start in enumerate(MEANINGS):
        choose(page, row, start)
    page.get_by_role("button", name="Save 3 answers").click()
    expect(page.get_by_text("Nothing needs you.")).to_be_visible(timeout=90_000)
    found = rows(
        folder,
        "SELECT count(*) AS n, count(*) FILTER (WHERE symptom = 'noisy') AS noisy, "
        "count(*) FILTER (WHERE appliance_kind = 'disposer') AS disposers FROM core.jobs",
    )
    assert found.values.tolist() == [[30, 6, 3]]
    served.check()
    page.close()
