"""A signal to `ohmhours dashboard` ends the server that it started, whatever the shell ignores."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

MAIN = "import sys; from dashboard.cli.main import main; sys.exit(main())"
POSIX = pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")


def ignoring() -> None:
    """Ignore the signals, as a shell's background job starts its children."""
    for each in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(each, signal.SIG_IGN)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def answers(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/_stcore/health", timeout=1):
            return True
    except OSError:
        return False


def until(happened, seconds: float = 120) -> bool:
    """Wait for something that a busy machine may do late."""
    end = time.monotonic() + seconds
    while not happened():
        if time.monotonic() > end:
            return False
        time.sleep(0.1)
    return True


@POSIX
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
def test_a_signal_ends_the_server_and_frees_its_port(number: int, tmp_path: Path):
    port = free_port()
    arguments = ["dashboard", "--db", str(tmp_path), "--port", str(port), "--no-browser"]
    command = subprocess.Popen(
        [sys.executable, "-c", MAIN, *arguments], preexec_fn=ignoring, start_new_session=True
    )
    try:
        assert until(lambda: answers(port)), "the server did not start"
        command.send_signal(number)
        assert command.wait(60) == 0
        assert not answers(port)
    finally:
        command.kill()


@POSIX
def test_a_server_that_does_not_end_by_itself_is_ended_by_force(monkeypatch):
    from dashboard.server import launch

    monkeypatch.setattr(launch, "PATIENCE_S", 0.2)
    deaf = (
        "import signal, time; signal.signal(15, signal.SIG_IGN); print(flush=True); time.sleep(99)"
    )
    server = subprocess.Popen([sys.executable, "-c", deaf], stdout=subprocess.PIPE)
    server.stdout.readline()  # now it ignores the signal
    launch._end(server)
    assert server.returncode == -signal.SIGKILL
