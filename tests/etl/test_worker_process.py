"""Work in a process of its own: answers, every kind of death in words, and an end with its parent."""

import importlib
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from etl import worker_process
from etl.worker_process import Worker, WorkerDied, stop_by_interrupt

POSIX = pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")
HERE = "tests.etl.test_worker_process"


def double(request: int, send: Callable[[object], None]) -> None:
    """Answer twice."""
    print("a print reaches no answer", flush=True)
    send(request)
    send(2 * request)


def crash(request: str, _send: object) -> None:
    """End in the way that is asked for."""
    if request == "abort":
        os.abort()
    if request == "kill":
        os.kill(os.getpid(), signal.SIGKILL)
    if request == "exit":
        os._exit(7)
    if request == "memory":
        raise MemoryError
    raise KeyError("Marge Fenwick")


def sleep(request: str, send: Callable[[object], None]) -> None:
    """Sleep; clean up on a stop when that is asked for, or ignore it."""
    if request == "clean up":
        stop_by_interrupt()
    if request == "ignore":
        worker_process.ignore_stop()
    try:
        send(os.getpid())
        time.sleep(60)
    except KeyboardInterrupt:
        send("cleaned up")


def worker(function: Callable[..., None]) -> Worker:
    return Worker(f"{HERE}:{function.__name__}")


def test_one_child_answers_several_requests_in_order():
    with worker(double) as child:
        for number in (0, 3):
            child.send(number)
            assert [child.receive(), child.receive()] == [number, 2 * number]
        assert child.is_alive
    assert not child.is_alive


@POSIX
@pytest.mark.parametrize(
    ("way", "words", "is_memory"),
    [
        ("abort", "its process was killed by SIGABRT", False),
        ("kill", "its process was killed by SIGKILL, as a system out of memory does", False),
        ("exit", "its process ended with a fault, exit code 7", False),
        ("memory", "its process was refused more memory", True),
        ("fault", "its process ended with a fault, exit code 1", False),
    ],
)
def test_a_death_is_reported_by_its_cause(way: str, words: str, is_memory: bool):
    with worker(crash) as child:
        child.send(way)
        with pytest.raises(WorkerDied) as death:
            child.receive()
    assert (str(death.value), death.value.is_out_of_memory) == (words, is_memory)


def test_a_child_that_died_before_the_request_is_reported_too():
    with worker(double) as child:
        child.kill()
        child.process.wait()
        child.send(b"x" * 1_000_000)
        with pytest.raises(WorkerDied, match="SIGKILL"):
            child.receive()


@POSIX
def test_a_stopped_child_can_clean_up():
    with worker(sleep) as child:
        child.send("clean up")
        child.receive()
        child.stop()
        assert child.receive() == "cleaned up"


@POSIX
def test_a_child_that_ignores_the_stop_is_killed(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(worker_process, "PATIENCE_SECONDS", 0.2)
    with worker(sleep) as child:
        child.send("ignore")
        child.receive()
        child.stop()
        with pytest.raises(WorkerDied, match="SIGKILL"):
            child.receive()


def test_receiving_ends_when_another_thread_kills_the_child():
    with worker(sleep) as child:
        child.send("")
        child.receive()
        threading.Timer(0.1, child.kill).start()
        with pytest.raises(WorkerDied, match="SIGKILL"):
            child.receive()


@POSIX
@pytest.mark.parametrize("request_", ["", "clean up"])
@pytest.mark.parametrize("number", ["SIGTERM", "SIGINT", "SIGHUP", "SIGKILL"])
def test_a_busy_child_ends_with_its_parent(number: str, request_: str):
    """The signal reaches the parent alone: child and parent share the pipe and no more."""
    code = (
        "import contextlib, signal, time; from etl.worker_process import Worker\n"
        f"with contextlib.suppress(OSError): signal.signal(signal.{number}, signal.SIG_DFL)\n"
        f"child = Worker('{HERE}:sleep'); child.send({request_!r})\n"
        "print(child.receive(), flush=True); time.sleep(60)"
    )
    command = [sys.executable, "-c", code]
    parent = subprocess.Popen(command, stdout=subprocess.PIPE)
    pid = int(parent.stdout.readline())
    parent.send_signal(signal.Signals[number])
    parent.communicate(timeout=20)
    assert ends(pid)


def ends(pid: int) -> bool:
    """Return True if a process that is not our own child ends within seconds."""
    for _ in range(200):
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False


SLOW_PACKAGE = {
    "slow/__init__.py": "import time; time.sleep(0.5)",
    "slow/inner/__init__.py": "from slow.inner.work import answer",
    "slow/inner/work.py": "from slow.inner.request import Request\n"
    "def answer(request, send): send(request.number)",
    "slow/inner/request.py": "class Request: number = 7",
}


def test_a_request_sent_while_the_child_still_imports_is_answered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """Two threads that import modules of one package at once can fail (_DeadlockError of
    importlib); it was seen in one of some 200 loads."""
    for name, text in SLOW_PACKAGE.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text)
    monkeypatch.syspath_prepend(tmp_path)
    request = importlib.import_module("slow.inner.request").Request()
    with Worker("slow.inner.work:answer") as child:
        child.send(request)
        assert child.receive() == 7
