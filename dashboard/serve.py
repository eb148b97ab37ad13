"""Start the dashboard on this machine."""

import ipaddress
import os
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
import webbrowser
from pathlib import Path

from dashboard.settings import DATABASE

FIRST_PORT = 8517


class ServeError(Exception):
    """The dashboard cannot be started as asked."""


def run(folder: Path, host: str, port: int | None, *, opens_browser: bool) -> int:
    """Serve the pages of a database until interrupted; return the exit code.

    Raises ServeError for a host other than this machine: there is no sign-in yet.
    """
    if not is_loopback(host):
        raise ServeError(
            f"host {host}: only this machine (127.0.0.1) is served while no sign-in is configured; "
            "leave --host out"
        )
    port = port or free_port(host)
    url = f"http://{host}:{port}"
    print(f"The dashboard is at {url} (stop it with Ctrl+C)", flush=True)
    if opens_browser:
        threading.Thread(target=_open_when_ready, args=(url,), daemon=True).start()
    command = [
        sys.executable, "-m", "streamlit", "run", str(Path(__file__).with_name("app.py")),
        "--server.port", str(port), "--server.address", host,
    ]  # fmt: skip
    environment = os.environ | {DATABASE: str(folder.absolute())}
    try:
        return subprocess.run(command, env=environment, check=False).returncode
    except KeyboardInterrupt:
        return 0


def is_loopback(host: str) -> bool:
    """Say whether an address means this machine only."""
    try:
        return host == "localhost" or ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def free_port(host: str) -> int:
    """Return the first free port from FIRST_PORT on.

    Raises ServeError when fifty ports in a row are taken.
    """
    for port in range(FIRST_PORT, FIRST_PORT + 50):
        with socket.socket() as probe:
            if probe.connect_ex((host, port)) != 0:
                return port
    raise ServeError(f"no free port from {FIRST_PORT} on; name one with --port")


def _open_when_ready(url: str) -> None:
    for _ in range(100):
        time.sleep(0.2)
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1):
                webbrowser.open(url)
                return
        except (urllib.error.URLError, OSError):
            continue
