"""The wheel is whole: installed outside the tree it loads the sample shop and serves it."""

import os
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from tests.browser.conftest import free_port

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that holds the installed wheel and nothing else."""
    made = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(made / "dist")]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = (made / "dist").glob("*.whl")
    install = [sys.executable, "-m", "pip", "install", "--no-deps", "--no-index", "--quiet"]
    subprocess.run([*install, "--target", str(made / "site"), str(wheel)], check=True)
    return made / "site"


def command(installed: Path, *arguments: str) -> tuple[list[str], dict[str, str]]:
    """Return the command and environment that run the installed `ohmhours`."""
    code = "import sys; from dashboard.cli.main import main; sys.exit(main())"
    return [sys.executable, "-c", code, *arguments], os.environ | {"PYTHONPATH": str(installed)}


def test_the_installed_command_says_its_version(installed: Path, tmp_path: Path):
    line, environment = command(installed, "--version")
    run = subprocess.run(line, env=environment, cwd=tmp_path, capture_output=True, text=True)
    assert run.stdout.startswith("ohmhours 0."), run.stderr


@pytest.mark.slow
def test_the_demo_runs_outside_the_tree(installed: Path, tmp_path: Path):
    port = free_port()
    line, environment = command(
        installed, "demo", "--no-browser", "--port", str(port), "--db", str(tmp_path / "db")
    )
    with subprocess.Popen(line, env=environment, cwd=tmp_path) as demo:
        try:
            assert answers(f"http://127.0.0.1:{port}/_stcore/health", demo, seconds=240)
        finally:
            demo.terminate()
            demo.wait(timeout=20)


def answers(url: str, server: subprocess.Popen, seconds: int) -> bool:
    """Return True as soon as the address answers; False when the server ends or time is up."""
    until = time.monotonic() + seconds
    while time.monotonic() < until and server.poll() is None:
        try:
            with urllib.request.urlopen(url, timeout=2):
                return True
        except OSError:
            time.sleep(0.2)
    return False
