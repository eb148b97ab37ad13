"""How long from the start of the server to the first chart? python -m tests.bench.first_chart [FOLDER].

A headless browser runs at the same time; the sample shop is served, or the database of the folder.
"""

import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from dashboard.server.launch import environment
from dashboard.text import pdf
from etl.load import load
from tests.bench.answers import Spent
from tests.bench.pages import worked_s
from tests.browser.conftest import ARGUMENTS, AS_SERVED, free_port

STARTS = 3
SEEN = {"heading": "h1", "finding": "h4", "first chart": ".js-plotly-plot .main-svg"}


@dataclass(frozen=True)
class Start:
    """What was there when after the start, and how much the server had worked by then."""

    seen: dict[str, Spent]


def first_chart(folder: Path | None = None) -> Start | None:
    """Return the medians over a few starts; None where there is no browser."""
    if pdf.browser() is None:
        return None
    with (
        tempfile.TemporaryDirectory(prefix="ohmhours_bench_") as scratch,
        sync_playwright() as play,
    ):
        if folder is None:
            folder = Path(scratch)
            load([Path(str(files("sample_data")))], folder)
        browser = play.chromium.launch(executable_path=pdf.browser(), args=ARGUMENTS)
        starts = [_started(browser, folder) for _ in range(STARTS)]
        browser.close()
    return Start(
        {
            name: Spent(
                statistics.median(start[name].wall_s for start in starts),
                statistics.median(start[name].cpu_s for start in starts),
            )
            for name in starts[0]
        }
    )


def _started(browser: Browser, folder: Path) -> dict[str, Spent]:
    """Start the server once and wait for its first page."""
    port, began = free_port(), time.perf_counter()
    command = [sys.executable, "-m", "streamlit", "run", str(AS_SERVED), "--server.port", str(port)]
    quiet = subprocess.DEVNULL
    server = subprocess.Popen(command, env=environment(folder), stdout=quiet, stderr=quiet)
    page = browser.new_context(viewport={"width": 1400, "height": 1000}).new_page()

    def spent() -> Spent:
        return Spent(time.perf_counter() - began, worked_s(server.pid))

    try:
        _wait(f"http://127.0.0.1:{port}/_stcore/health", server)
        found = {"answer": spent()}
        page.goto(f"http://127.0.0.1:{port}")
        for name, selector in SEEN.items():
            page.wait_for_selector(selector, state="attached", timeout=120_000)
            found[name] = spent()
        return found
    finally:
        page.context.close()
        server.terminate()
        server.wait()


def _wait(url: str, server: subprocess.Popen) -> None:
    while server.poll() is None:
        try:
            with urllib.request.urlopen(url, timeout=1):
                return
        except OSError:
            time.sleep(0.03)
    raise RuntimeError("the server ended while it started")


def main() -> None:
    """Print the times."""
    found = first_chart(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
    for name, spent in (found.seen if found else {}).items():
        print(f"{name:12} {spent.wall_s:6.2f} s, server worked {spent.cpu_s:.2f} s")


if __name__ == "__main__":
    main()
