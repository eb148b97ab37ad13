"""Start the dashboard on this machine."""

import os
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
import webbrowser
from pathlib import Path
from urllib.parse import urlsplit

from dashboard.access.reader import SIGN_IN
from dashboard.errors import UserError
from dashboard.server import oidc_config as openid
from dashboard.settings.file import DATABASE

FIRST_PORT = 8517
STOPPING = [
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
]
LOOK_EVERY_S, PATIENCE_S = 0.2, 3.0


class ServeError(UserError):
    """The dashboard cannot be started as asked."""


def run(folder: Path, host: str, port: int | None, *, opens_browser: bool) -> int:
    """Serve the pages of a database until interrupted; return the exit code.

    With a secrets.toml in the folder its readers must sign in. Raises ServeError for a host other
    than this machine without one, and for one that would not hold.
    """
    read_at = _read_at(folder, host)
    port = port or free_port(host)
    url = f"http://{host}:{port}"
    print(f"The dashboard is at {read_at or url} (stop it with Ctrl+C)", flush=True)
    if opens_browser:
        asked = (url, read_at or url)
        threading.Thread(target=_open_when_ready, args=asked, daemon=True).start()
    command = [
        sys.executable, "-m", "streamlit", "run", *_pages(folder.absolute(), read_at),
        "--server.port", str(port), "--server.address", host,
    ]  # fmt: skip
    signing = {SIGN_IN: "1" if read_at else ""}
    return _serve(command, environment(folder) | signing)


def _serve(command: list[str], variables: dict[str, str]) -> int:
    """Run the server until it ends, or until one of STOPPING ends it; return the exit code.

    Our own handlers count even where the parent process ignores a signal, as shells do in the
    background.
    """
    is_stopped = threading.Event()
    before = {each: signal.signal(each, lambda *_: is_stopped.set()) for each in STOPPING}
    try:
        server = subprocess.Popen(command, env=variables)
        while server.poll() is None and not is_stopped.wait(LOOK_EVERY_S):
            pass
        _end(server)
    finally:
        for each, handler in before.items():
            signal.signal(each, handler)
    return 0 if is_stopped.is_set() else server.returncode


def _end(server: subprocess.Popen[bytes]) -> None:
    """End a server: politely, after PATIENCE_S by force."""
    server.terminate()
    try:
        server.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


def environment(folder: Path) -> dict[str, str]:
    """Return what a server of this database finds around it.

    Pages are drawn in many threads; glibc would give each a heap of its own, and hand little back.
    """
    return {"MALLOC_ARENA_MAX": "2"} | os.environ | {DATABASE: str(folder.absolute())}


def _pages(folder: Path, read_at: str | None) -> list[str]:
    """Return what to serve: behind sign-in guarded, and under the name of its address only."""
    here = Path(__file__).parents[1]
    if read_at is None:
        return [str(here / "app_local.py")]
    return [
        str(here / "app_signed_in.py"),
        "--secrets.files", str(folder / openid.FILE),
        "--server.allowedHosts", urlsplit(read_at).hostname or "",
    ]  # fmt: skip


def _read_at(folder: Path, host: str) -> str | None:
    """Return the address that readers who sign in use; None where none is needed."""
    read_at = openid.sign_in_address(folder)
    if read_at is None and not openid.is_loopback(host):
        raise ServeError(
            f"host {host}: only this machine (127.0.0.1) is served while no sign-in is configured; "
            f"leave --host out, or put {openid.FILE} into {folder} (README, Sign-in and roles)"
        )
    return read_at


def free_port(host: str) -> int:
    """Return the first free port from FIRST_PORT on.

    Raises ServeError when fifty ports in a row are taken.
    """
    for port in range(FIRST_PORT, FIRST_PORT + 50):
        with socket.socket() as probe:
            if probe.connect_ex((host, port)) != 0:
                return port
    raise ServeError(f"no free port from {FIRST_PORT} on; name one with --port")


def _open_when_ready(url: str, address: str) -> None:
    for _ in range(100):
        time.sleep(0.2)
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1):
                webbrowser.open(address)
                return
        except (urllib.error.URLError, OSError):
            continue
