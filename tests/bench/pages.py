"""How long does a reader wait for a page? python -m tests.bench.pages [--db FOLDER] [--rounds N].

Opens every page in a headless Chromium from the menu, twice after a start of the server, then
chooses a branch in the filters. Waiting ends with the last change that is drawn, the server being
done; where nothing changes within three seconds there was nothing to wait for. Tables are drawn on
a canvas: there the last text written counts, and not the copy inside the canvas, which is not shown
and which follows by the grid's own delay of 0.2 s, for programs that read aloud.
The server's own processor time is reported too: it hardly depends on what else the machine does.
Writes PAGES.md next to this file; without --db it serves the sample shop.
"""

import argparse
import os
import platform
import statistics
import sys
import tempfile
from collections import defaultdict
from datetime import date
from importlib.resources import files
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from dashboard.text import pdf
from etl.load import load
from tests import ask
from tests.browser.conftest import ARGUMENTS, AS_SERVED, serving, settled

Times = dict[str, dict[str, list[float]]]  # page → what was timed → seconds, a value a round
RESULTS = Path(__file__).with_name("PAGES.md")
GOALS = {"first": 1.0, "again": 1.0, "filter": 0.5}  # seconds on the sample shop
VIEWERS = 5
WATCH = """() => {
    const app = document.querySelector("[data-testid=stApp]");
    const main = document.querySelector("[data-testid=stMain]");
    const isIdle = () => app.dataset.testScriptState === "notRunning";
    const since = (moment) => performance.now() - moment;
    const draw = () => { window.drawn = performance.now(); };
    window.clicked = window.drawn = 0;
    window.isQuiet = () => isIdle() && since(window.drawn) > 700
        && (window.drawn > window.clicked || since(window.clicked) > 3000);
    document.addEventListener("click", () => { window.clicked = performance.now(); }, true);
    const place = ({ target }) => target.closest ? target : target.parentElement;
    const isSeen = (change) => !place(change)?.closest("canvas");
    new MutationObserver((changes) => changes.some(isSeen) && draw())
        .observe(main, { childList: true, characterData: true, subtree: true });
    new MutationObserver(draw).observe(app, { attributeFilter: ["data-test-script-state"] });
    const brush = CanvasRenderingContext2D.prototype, write = brush.fillText;
    brush.fillText = function (...text) {
        if (main.contains(this.canvas)) draw();
        return write.apply(this, text);
    };
}"""


def waited(page: Page) -> float:
    """Return the seconds from the last click to the last change drawn, when all is quiet."""
    page.wait_for_function("window.isQuiet()", timeout=120_000)
    return page.evaluate("Math.max(0, window.drawn - window.clicked) / 1000")


def menu(page: Page) -> list[tuple[str, str]]:
    """Return section and link of every page, as the menu lists them."""
    found = []
    sections = page.get_by_test_id("stTopNavSection").all_inner_texts()
    for section in sections:
        page.get_by_role("button", name=section, exact=True).click()
        links = page.get_by_role("menuitem").all_inner_texts()
        found += [(section, link) for link in links]
        page.keyboard.press("Escape")
    return found


def opened(page: Page, section: str, link: str) -> float:
    """Follow a link of the menu and return the seconds waited."""
    page.get_by_role("button", name=section, exact=True).click()
    page.get_by_role("menuitem", name=link, exact=True).click()
    return waited(page)


def filtered(page: Page, branch: str) -> float:
    """Choose a branch, return the seconds waited, and clear the choice again."""
    box = page.get_by_role("combobox", name="Branch").first
    box.click()
    page.get_by_role("option", name=branch, exact=True).click()
    seconds = waited(page)
    box.press("Backspace")
    page.keyboard.press("Escape")
    settled(page)
    return seconds


def round_of(browser: Browser, folder: Path, branch: str, times: Times) -> float | None:
    """Time every page on a server just started; return the memory of one more viewer, in MB."""
    with serving(folder, AS_SERVED) as (url, process):
        page = browser.new_page(viewport={"width": 1400, "height": 1000}, bypass_csp=True)
        page.goto(f"{url}/settings")
        settled(page).evaluate(WATCH)
        links = menu(page)
        for name in ("first", "again"):
            for section, link in links:
                worked = worked_s(process.pid)
                times[link][name].append(opened(page, section, link))
                times[link][f"{name}, server"].append(worked_s(process.pid) - worked)
        for section, link in links:
            opened(page, section, link)
            if page.get_by_role("combobox", name="Branch").count() == 0:
                continue  # a page without filters
            worked = worked_s(process.pid)
            times[link]["filter"].append(filtered(page, branch))
            times[link]["filter, server"].append(worked_s(process.pid) - worked)
        memory = viewer_mb(browser, url, process.pid)
        page.close()
        return memory


def worked_s(process: int) -> float:
    """Return the seconds that a process has worked so far, 0 where the system does not say."""
    status = Path(f"/proc/{process}/stat")
    if not status.exists():
        return 0.0
    user, system = status.read_text().rpartition(")")[2].split()[11:13]
    return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")


def viewer_mb(browser: Browser, url: str, process: int) -> float | None:
    """Return what one more viewer of the first page takes of the server's memory, in MB."""
    status = Path(f"/proc/{process}/status")
    if not status.exists():
        return None

    def resident_mb() -> float:
        line = next(each for each in status.read_text().splitlines() if each.startswith("VmRSS"))
        return int(line.split()[1]) / 1024

    before = resident_mb()
    viewers = [browser.new_context().new_page() for _ in range(VIEWERS)]
    for viewer in viewers:
        viewer.goto(url)
        settled(viewer)
    grown = (resident_mb() - before) / VIEWERS
    for viewer in viewers:
        viewer.context.close()
    return grown


def report(times: Times, jobs: int, rounds: int, memory: list[float]) -> str:
    """Write the medians as a table, and how many pages keep within the goals."""
    medians = {
        link: {name: statistics.median(each) for name, each in values.items()}
        for link, values in times.items()
    }
    kept = {
        name: [row[name] <= goal for row in medians.values() if name in row]
        for name, goal in GOALS.items()
    }
    lines = [
        "# How long a reader waits",
        "",
        f"{jobs:,} jobs; medians of {rounds} starts of the server, seconds from the click to the "
        f"last change drawn, server and headless browser on one machine of {os.cpu_count()} cores, "
        f"on which {os.getloadavg()[0]:.0f} programs wanted to run; {date.today()}, Python "
        f"{platform.python_version()}. In brackets: seconds that the server worked; for a branch "
        "that is choosing it and clearing it again.",
        "",
        "| page | first opening | second opening | branch chosen |",
        "| --- | --- | --- | --- |",
        *(
            f"| {link} | "
            + " | ".join(
                f"{row[name]:.2f} ({row[f'{name}, server']:.2f})" if name in row else "no filters"
                for name in GOALS
            )
            + " |"
            for link, row in medians.items()
        ),
        "| **pages within the goal** | "
        + " | ".join(
            f"{sum(kept[n])} of {len(kept[n])} (≤ {goal:g} s)" for n, goal in GOALS.items()
        )
        + " |",
    ]
    if memory:
        lines += ["", f"One more viewer takes {statistics.median(memory):.1f} MB of the server."]
    return "\n".join(lines) + "\n"


def timed(folder: Path, rounds: int) -> str:
    """Time every page of a database folder and return the report."""
    branches = ask.run(folder, "pages/choices").query("filter == 'branch'")["value"]
    jobs = int(ask.run(folder, "pages/dataset").iloc[0].jobs)
    times: Times = defaultdict(lambda: defaultdict(list))
    memory = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=pdf.browser(), args=ARGUMENTS)
        for number in range(rounds):
            memory.append(round_of(browser, folder, branches.iloc[0], times))
            print(f"{number + 1} of {rounds} rounds", file=sys.stderr, flush=True)
        browser.close()
    return report(times, jobs, rounds, [each for each in memory if each is not None])


def main() -> None:
    """Time the pages and write the report."""
    parser = argparse.ArgumentParser(description="How long does a reader wait for a page?")
    parser.add_argument("--db", type=Path, help="a database folder (default: the sample shop)")
    parser.add_argument("--rounds", type=int, default=3, help="starts of the server (default: 3)")
    parser.add_argument("--out", type=Path, default=RESULTS, help="the report's file")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = chosen.db or Path(scratch)
        if chosen.db is None:
            load([Path(str(files("sample_data")))], folder)
        text = timed(folder, chosen.rounds)
    chosen.out.write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
