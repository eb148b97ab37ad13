"""A dashboard and a headless browser for the tests; skipped, or failed, where there is no browser."""

import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from playwright.sync_api import TimeoutError as PlaywrightTimeout

from dashboard.server.launch import environment
from dashboard.text import pdf

PAGES = Path(__file__).parents[2] / "dashboard"
APP = PAGES / "app.py"  # makes nothing ready beforehand
AS_SERVED = PAGES / "app_local.py"  # as ohmhours serves it on this machine
LONGEST_S = 120  # a start or stop on a busy machine; how fast it is, make bench says
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless Chromium. With REQUIRE_BROWSER set, its absence is a failure and no skip."""
    path = pdf.browser()
    if path is None:
        if os.environ.get("REQUIRE_BROWSER"):
            pytest.fail("no Chromium found: install it, or name it in CHROMIUM")
        pytest.skip("no Chromium found: install it, or name it in CHROMIUM")
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield launched
        launched.close()


@dataclass
class Served:
    """A running dashboard; `complaints` is what the browser complained of."""

    url: str
    complaints: list[str] = field(default_factory=list)

    def watch(self, page: Page) -> Page:
        """Note every error of the page and every request off this machine."""
        page.on("pageerror", lambda error: self.complaints.append(f"error {error}"))
        page.on("console", lambda message: self._note_console(message))
        page.on("request", lambda request: self._note_request(request.url))
        return page

    def _note_console(self, message) -> None:
        if message.type == "error" and "_stcore" not in str(message.location):
            self.complaints.append(f"console {message.text} {message.location}")

    def _note_request(self, url: str) -> None:
        is_here = url.startswith((self.url, self.url.replace("http", "ws"), "data:", "blob:"))
        if not is_here:
            self.complaints.append(f"request {url}")

    def check(self) -> None:
        """Fail when the browser complained of anything."""
        assert self.complaints == []


@pytest.fixture
def serve():
    """Return a function that serves a database folder until the test ends."""
    with ExitStack() as running:

        def start(folder: Path, script: Path = APP) -> Served:
            url, _ = running.enter_context(serving(folder, script))
            return Served(url)

        yield start


@contextmanager
def serving(folder: Path, script: Path = APP) -> Iterator[tuple[str, subprocess.Popen]]:
    """Serve a database folder on a free port; give the address and the process."""
    port = free_port()
    command = [sys.executable, "-m", "streamlit", "run", str(script), "--server.port", str(port)]
    process = subprocess.Popen(
        command,
        env=environment(folder),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        url = f"http://127.0.0.1:{port}"
        wait_until_healthy(url, process)
        yield url, process
    finally:
        process.terminate()
        process.wait(timeout=LONGEST_S)


def free_port() -> int:
    """Return a port that is free just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_until_healthy(url: str, process: subprocess.Popen) -> None:
    """Wait until the dashboard answers; fail when it stops or takes too long."""
    give_up = time.monotonic() + LONGEST_S
    while time.monotonic() < give_up:
        assert process.poll() is None, "the dashboard stopped while starting"
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1):
                return
        except OSError:
            time.sleep(0.1)
    pytest.fail(f"the dashboard did not start within {LONGEST_S} seconds")


def settled(page: Page) -> Page:
    """Wait until the page has been drawn and stays so for a moment."""
    app = page.get_by_test_id("stApp")
    for _ in range(3):
        expect(app).to_have_attribute("data-test-script-state", "notRunning", timeout=30_000)
        page.wait_for_timeout(250)
    return page


def downloaded(page: Page, button: str, seconds: int = 15) -> Path:
    """Click a download button and return the file; a click that met a redraw is made again."""
    for _ in range(3):
        settled(page)
        try:
            with page.expect_download(timeout=1000 * seconds) as download:
                page.get_by_role("button", name=button).first.click()
            return Path(download.value.path())
        except PlaywrightTimeout:
            continue
    pytest.fail(f"no download came of the button {button!r}")


def go(page: Page, section: str, link: str) -> Page:
    """Follow a link in a section of the menu and wait for the page, titled with the same words."""
    page.get_by_role("button", name=section, exact=True).click()
    page.get_by_role("menuitem", name=link, exact=True).click()
    expect(page.get_by_role("heading", name=link, exact=True, level=1)).to_be_visible(
        timeout=30_000
    )
    return settled(page)
