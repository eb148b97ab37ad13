"""Odd calls of every command: one line, an exit code of ours, never a trace; drawn from one seed."""

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from dashboard.cli import main as cli
from etl.folder.fault_log import report_fault
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
"""
CALLS = 500
ODD = (
    "", " ", "-", "--", "0", "-1", "9" * 5000, "1e400", "nan", "x" * 5000, "é漢😀", "\udcff\udcfe",
    "\x1b[2J", "\u202e", "a\0b", "../..", "/dev/null", "/dev/full", "/dev/zero", "/proc/self/mem",
    "~", "*", "[", "{0}", "%s", "=1+1", "'; DROP TABLE core.jobs; --", "2026-13", "9999-12", "0001-01",
    "2026-W01-1", "branch=", "=", "technician=\udcff", "http://x.invalid", "\n", "a/b/c.html", ".pdf",
)  # fmt: skip
COMMANDS = {
    "measure": ["callbacks"],
    "explain": [],
    "report": ["--month", "2026-01", "--out", "x.html"],
    "quarantine": [],
    "accept": [],
    "backup": [],
    "restore": [],
    "load": [],
    "dashboard": ["--no-browser", "--host", "192.0.2.1"],
    "": [],
}
OPTIONS = (
    "--db", "--by", "--from", "--to", "--where", "--format", "--month", "--out", "--port", "--host",
    "--mapping", "--check", "--strict", "--json", "--replace", "--engine", "--verbosely", "--help",
)  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of one job."""
    return shop(tmp_path_factory.mktemp("odd"), jobs=JOBS)


def drawn(seed: random.Random, folder: Path, files: list[str]) -> list[str]:
    """Draw one call."""
    command = seed.choice(list(COMMANDS))
    call = [command, *COMMANDS[command]]
    for _ in range(seed.randrange(4)):
        call.append(seed.choice((*OPTIONS, *ODD, *files)))
        if seed.random() < 0.6:
            call.append(seed.choice((*ODD, *files)))
    return call if "--db" in call else [*call, "--db", str(folder)]


def test_five_hundred_odd_calls_end_in_one_line(folder: Path, tmp_path: Path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    (tmp_path / "exists").write_text("x", encoding="utf-8")
    (tmp_path / "taken").mkdir()
    seed, codes = random.Random(24), []
    for _ in range(CALLS):
        call = drawn(seed, folder, ["exists", "taken", "missing"])
        try:
            code = cli.main(call)
        except SystemExit as stop:
            code = stop.code
        message = capsys.readouterr()
        assert code in (0, 1, 2), (call, code, message.err)
        assert "Traceback" not in message.err + message.out, call
        assert code == 2 or message.err.count("\n") <= 2, (call, message.err)
        codes.append(code)
    assert min(codes.count(code) for code in (0, 1, 2)) > 10  # the calls are of all kinds


@pytest.mark.parametrize(
    "content", ["a = 9" + "9" * 5000, "min_jobs = [[[1]]]", "min_jobs = " + "[" * 3000]
)
@pytest.mark.parametrize("key", ["min_jobs", "parts_slabs", "service_volts", "people", "as_of"])
@pytest.mark.parametrize("value", ["1" + "0" * 400, "{a = {b = 1}}", "[[1]]", '"x"', "[]", "true"])
def test_odd_settings_are_refused_by_their_key(content, key, value, folder, capsys):
    settings = folder / "ohmhours.toml"
    for text in (content, f"{key} = {value}"):
        settings.write_text(text, encoding="utf-8")
        try:
            code = cli.main(["explain", "A", "--db", str(folder)])
        finally:
            settings.unlink()
        message = capsys.readouterr().err
        assert (code, message.count("\n")) == (1, 1) or (code == 0 and value == "[]"), message
        assert len(message) < 600


@pytest.mark.parametrize("word", ["\x1b[2J", "\x9b31m", "a\nb", "\u202ex", "y" * 70_000])
@pytest.mark.parametrize("call", [[], ["explain", "A"], ["measure"], ["explain", "--wrong"]])
def test_a_refused_argument_is_repeated_plain_and_short(word: str, call: list[str], capsys):
    with pytest.raises(SystemExit) as stop:
        cli.main([*call, word, word])
    message = capsys.readouterr().err
    assert stop.value.code == 2
    assert not any(sign in message for sign in ("\x1b", "\x9b", "\u202e"))
    assert len(message) < 3000


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_output_in_any_encoding_is_no_error(encoding: str, folder: Path):
    call = [sys.executable, "-m", "dashboard.cli.main", "explain", "A", "--db", str(folder)]
    environment = {"PYTHONIOENCODING": encoding, "PATH": ""}
    done = subprocess.run(call, env=environment, capture_output=True, timeout=120, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    done.stdout.decode(encoding)


@pytest.mark.parametrize("arguments", [["explain", "A"], ["measure", "callbacks"]])
def test_a_full_output_is_reported_in_one_line(arguments: list[str], folder: Path):
    place = ["--db", str(folder)]
    call = [sys.executable, "-m", "dashboard.cli.main", *arguments, *place]
    with open("/dev/full", "w", encoding="utf-8") as full:
        done = subprocess.run(call, stdout=full, stderr=subprocess.PIPE, timeout=120, check=False)
    assert done.returncode in (1, 120)
    assert b"Traceback" not in done.stderr
    assert done.stderr.count(b"\n") == 1


@pytest.mark.slow
@pytest.mark.parametrize("after", [0.0, 0.2, 0.5, 1.0])
def test_ctrl_c_while_the_libraries_load_is_reported_in_one_line(after: float, folder: Path):
    code = (  # a parent started in the background hands SIGINT on as ignored
        "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); "
        "from dashboard.cli.main import main; print('ready', flush=True); "
        f"sys.exit(main(['measure', 'callbacks', '--db', {str(folder)!r}]))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as run:
        assert run.stdout.readline() == b"ready\n"
        time.sleep(after)
        run.send_signal(signal.SIGINT)
        _, message = run.communicate(timeout=300)
    assert b"Traceback" not in message, message
    # A shell shows a death by SIGINT as 130, too: Python has put its handlers away by then.
    assert run.returncode in (0, 130, -signal.SIGINT)


def test_a_fault_keeps_its_trace_but_no_value(tmp_path: Path, monkeypatch):
    monkeypatch.setattr("etl.folder.fault_log.user_log_path", lambda *_, **__: tmp_path / "logs")
    try:
        int("Marge Fenwick")
    except ValueError as error:
        message = report_fault(error)
    (log,) = (tmp_path / "logs").iterdir()
    assert str(log) in message
    assert "Fenwick" not in message + log.read_text(encoding="utf-8").replace(
        'int("Marge Fenwick")', ""
    )
    assert "test_odd_calls.py" in log.read_text(encoding="utf-8")


def test_a_fault_of_the_program_is_reported_in_one_line(folder: Path, monkeypatch, capsys):
    def broken(chosen: object) -> int:
        raise ZeroDivisionError("Marge Fenwick")

    monkeypatch.setattr("dashboard.cli.explain_command.explain", broken)
    assert cli.main(["explain", "A", "--db", str(folder)]) == 70
    message = capsys.readouterr().err
    assert message.count("\n") == 1
    assert "ZeroDivisionError" in message
    assert "Fenwick" not in message
