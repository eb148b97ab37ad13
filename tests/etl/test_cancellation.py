"""A load that is stopped at any moment leaves the folder byte for byte as it was."""

import shutil
import signal
import subprocess
import sys
import time
from importlib.resources import files
from pathlib import Path

import pytest

from etl.cancellation import Stopped
from etl.folder import publish
from etl.load import load
from etl.steps import TO_FACTS, TO_READING_TEXTS
from tests.shop_builder import shop

SAMPLE = Path(str(files("sample_data")))
JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
"""
LATER = """job_id,opened_on,closed_on,appliance_kind,symptom,disposition
B,2026-02-01,2026-02-02,washer,leaks,repaired
"""


def content(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder with its bytes, but for the lock's note of its last holder."""
    paths = (path for path in folder.rglob("*") if path.is_file() and path.name != "writer.lock")
    return {str(path.relative_to(folder)): path.read_bytes() for path in paths}


@pytest.fixture(scope="module")
def one_job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of one job, loaded once."""
    return shop(tmp_path_factory.mktemp("one"), jobs=JOBS)


@pytest.fixture
def folder(one_job: Path, tmp_path: Path) -> Path:
    """A copy of the shop, and next to it a file that brings another job."""
    (tmp_path / "later.csv").write_text(LATER, encoding="utf-8")
    return Path(shutil.copytree(one_job, tmp_path / "db"))


def accept_interrupts() -> None:
    """Restore SIGINT in the child: a parent started in the background hands it on as ignored."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def stop_at(wanted: str):
    """Return a progress function that interrupts at a step, as Ctrl+C does."""

    def progress(step: str) -> None:
        if step == wanted:
            raise KeyboardInterrupt

    return progress


@pytest.mark.parametrize("is_check", [True, False])
@pytest.mark.parametrize("step", [TO_READING_TEXTS[0], "parsing readings", TO_FACTS[-1]])
def test_a_load_stopped_at_a_step_changes_nothing(folder: Path, step: str, is_check: bool):
    before = content(folder)
    with pytest.raises(Stopped, match="nothing was changed"):
        load([folder.parent / "later.csv"], folder, is_check=is_check, progress=stop_at(step))
    assert content(folder) == before


@pytest.mark.parametrize("is_before", [True, False])
def test_a_load_stopped_while_it_publishes_is_there_or_not(folder: Path, monkeypatch, is_before):
    """Just before the pointer moves nothing is changed; just after, the version stands whole."""
    before, point_to = content(folder), publish.point_to

    def stopped(*target: object) -> None:
        if not is_before:
            point_to(*target)
        raise KeyboardInterrupt

    monkeypatch.setattr(publish, "point_to", stopped)
    with pytest.raises(Stopped, match="nothing was changed" if is_before else "too late"):
        load([folder.parent / "later.csv"], folder)
    if is_before:
        assert content(folder) == before
    else:
        assert publish.current(folder).name not in before


def test_ctrl_c_on_the_command_line_leaves_all_as_it_was_and_says_so(folder: Path):
    """Interrupted as soon as the new version is being built; 130 is 128 + SIGINT, as shells say."""
    before = content(folder)
    command = [sys.executable, "-m", "dashboard.cli.main", "load", str(SAMPLE), "--db", str(folder)]
    with subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, preexec_fn=accept_interrupts
    ) as run:
        while run.poll() is None and not list(folder.glob("building-*")):
            time.sleep(0.01)
        run.send_signal(signal.SIGINT)
        _, message = run.communicate(timeout=60)
    assert (run.returncode, message.strip()) == (130, "ohmhours: stopped; nothing was changed")
    assert content(folder) == before
