"""A shop behind sign-in, served by the command itself, and people who sign in to it."""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page, WebSocket, expect

from tests.browser.conftest import free_port, settled, wait_until_healthy
from tests.server.openid_provider import CLIENT, CLIENT_SECRET, Provider

SECRET = "a secret of this test only, long enough"
PEOPLE = {  # role → address
    "owner": "ada@shop.example",
    "lead": "lea@shop.example",
    "pricing": "pia@shop.example",
    "technician": "brenwick@shop.example",
}
SETTINGS = """[people]
"ada@shop.example" = "owner"
"lea@shop.example" = "lead"
"pia@shop.example" = "pricing"
"Brenwick@shop.example" = { technician = "Brenwick" }
"old@shop.example" = "owner"
"unsure@shop.example" = "owner"
"""


@dataclass
class Shop:
    """A shop that is served, and what signs people in to it."""

    url: str
    browser: Browser
    provider: Provider

    def visitor(self) -> Page:
        """Return a page of a browser without a sign-in."""
        return self.browser.new_context(accept_downloads=True).new_page()

    def signed_in(self, email: str) -> Page:
        """Return a page of a browser of its own, after signing in as this address."""
        page = self.visitor()
        page.goto(self.url)
        page.get_by_role("button", name="Sign in").click(timeout=30_000)
        page.get_by_label("E-mail").fill(email)
        page.get_by_role("button", name="Continue").click()
        expect(page.get_by_role("button", name="Sign out")).to_be_visible(timeout=30_000)
        return settled(page)


@contextmanager
def served(records: Path, folder: Path, browser: Browser, provider: Provider) -> Iterator[Shop]:
    """Serve a copy of a database folder behind sign-in."""
    shutil.copytree(records, folder)
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    (folder / "ohmhours.toml").write_text(SETTINGS, encoding="utf-8")
    (folder / "secrets.toml").write_text(
        f'[auth]\nredirect_uri = "{url}/oauth2callback"\ncookie_secret = "{SECRET}"\n'
        f'client_id = "{CLIENT}"\nclient_secret = "{CLIENT_SECRET}"\n'
        f'server_metadata_url = "{provider.url}/.well-known/openid-configuration"\n',
        encoding="utf-8",
    )
    command = [sys.executable, "-m", "dashboard.cli.main", "dashboard", "--db", str(folder)]
    process = subprocess.Popen(
        [*command, "--port", str(port), "--no-browser"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        wait_until_healthy(url, process)
        yield Shop(url, browser, provider)
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(timeout=20)


def received(page: Page) -> list[bytes]:
    """Return a list that takes in all that the server sends to the page from now on."""
    frames: list[bytes] = []

    def listen(socket: WebSocket) -> None:
        socket.on("framereceived", lambda data: frames.append(_bytes(data)))

    page.on("websocket", listen)
    return frames


def _bytes(data: bytes | str) -> bytes:
    return data.encode() if isinstance(data, str) else data


def user_cookie(context: BrowserContext) -> dict:
    """Return the cookie that says who has signed in."""
    (found,) = (each for each in context.cookies() if each["name"] == "_streamlit_user")
    return found
