"""An unforeseen failure: one line, and a trace in a file that holds no value."""

import logging
import subprocess
import sys
import threading
from io import StringIO
from pathlib import Path

import pytest

from dashboard.loading import worker
from dashboard.loading.worker import LoadMessage, LoadRequest
from dashboard.server import fault_lines
from etl.folder import fault_log

NAME = "Marge Fenwick"


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch) -> Path:
    """Let traces go to a folder of this test, and every hook be as it was after it."""
    monkeypatch.setattr(fault_log, "user_log_path", lambda *_, **__: tmp_path / "logs")
    before = logging.getLogRecordFactory()
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(sys, "unraisablehook", sys.unraisablehook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    fault_lines.keep_traces()
    yield tmp_path / "logs"
    logging.setLogRecordFactory(before)


def fails() -> None:
    raise KeyError(NAME)


def is_one_line(line: str, logs: Path) -> bool:
    (log,) = logs.iterdir()
    trace = log.read_text(encoding="utf-8")
    is_there = "KeyError" in trace and "in fails" in trace
    return line.count("\n") == 1 and NAME not in line + trace and is_there and str(log) in line


@pytest.mark.parametrize("name", ["streamlit.error_util", "uvicorn.error", "anything"])
def test_a_logged_failure_is_one_line(name: str, kept: Path):
    out = logging.StreamHandler(stream := StringIO())
    logger = logging.getLogger(name)
    logger.addHandler(out)
    try:
        fails()
    except KeyError as error:
        logger.error(f"of {NAME}", exc_info=error)
    finally:
        logger.removeHandler(out)
    assert is_one_line(stream.getvalue(), kept)


def test_a_record_without_a_failure_stays(kept: Path):
    record = logging.getLogRecordFactory()("x", 30, "p", 1, "slow: %s", ("page",), None)
    assert record.getMessage() == "slow: page"
    assert not kept.exists()


def test_a_thread_that_fails_is_one_line(kept: Path, capsys):
    thread = threading.Thread(target=fails)
    thread.start()
    thread.join()
    assert is_one_line(capsys.readouterr().err, kept)


def test_a_failed_load_reports_it_at_its_end(kept: Path, monkeypatch, tmp_path: Path):
    monkeypatch.setattr(worker, "load", lambda *_, **__: fails())
    request = LoadRequest((), tmp_path, tmp_path, None, None, {}, is_check=True)
    sent: list[LoadMessage] = []
    worker.run(request, sent.append)
    assert is_one_line(f"{sent[0].problem}\n", kept)
    assert "What was loaded" in sent[0].problem


def test_a_page_that_fails_leaves_one_line_on_the_terminal(tmp_path: Path):
    """Streamlit itself runs the page here, as it does for a reader."""
    script = tmp_path / "page.py"
    script.write_text(f"raise KeyError({NAME!r} + ' at 7 Quill Lane')\n", encoding="utf-8")
    code = (
        "from dashboard.server.fault_lines import keep_traces; keep_traces()\n"
        "from streamlit.testing.v1 import AppTest\n"
        f"AppTest.from_file({str(script)!r}, default_timeout=30).run()\n"
    )
    environment = {"XDG_STATE_HOME": str(tmp_path), "PATH": "", "PYTHONPATH": ":".join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, timeout=120
    )
    assert "internal error (KeyError)" in done.stderr, done.stderr
    assert "Quill Lane" not in done.stderr
    assert "Traceback" not in done.stderr
    (log,) = tmp_path.rglob("fault-*.log")
    assert "7 Quill Lane'" not in log.read_text().replace("' at 7 Quill Lane')", "")
