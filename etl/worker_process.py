"""Work in a process of its own, which may hang, crash, fill its memory or be stopped alone.

The parent sends pickled requests to the child's standard input and receives pickled messages from
its standard output. The child ends with its parent: whatever ends the parent closes that input.
"""

import os
import pickle
import pkgutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from queue import SimpleQueue
from typing import IO, Any

from etl.folder.errors import UserError

STOPPING = [
    getattr(signal, name) for name in ("SIGTERM", "SIGINT", "SIGHUP") if hasattr(signal, name)
]
PATIENCE_SECONDS = 10.0  # from a polite stop to a forced one
KEPT_BYTES = 1 << 16  # the end of standard error: searched, never shown
INTERRUPTED = 130  # 128 + SIGINT, as shells count
OUT_OF_MEMORY = (b"MemoryError", b"bad_alloc", b"memory allocation of", b"Cannot allocate memory")

Send = Callable[[object], None]


class WorkerDied(UserError):
    """The child ended before it answered; the message says by what.

    `is_out_of_memory`: a memory request of its own was refused.
    """

    def __init__(self, message: str, is_out_of_memory: bool) -> None:
        super().__init__(message)
        self.is_out_of_memory = is_out_of_memory


class Worker:
    """A child process that calls `function(request, send)` for one request after another.

    `function` is "package.module:name". Standard error of the child may hold a cell of a record, so
    it is shown nowhere.
    """

    def __init__(self, function: str) -> None:
        places = os.pathsep.join(place or os.getcwd() for place in sys.path)
        self.process = subprocess.Popen(
            command(function),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": places},
        )
        self._last_words = b""
        self._drain = threading.Thread(target=self._keep_last_words, daemon=True)
        self._drain.start()

    def __enter__(self) -> "Worker":
        return self

    def __exit__(self, *_: object) -> None:
        self.end()

    @property
    def is_alive(self) -> bool:
        """Say whether the child is still there."""
        return self.process.poll() is None

    def send(self, request: object) -> None:
        """Send a request; a child that cannot take it gives no answer either: see receive."""
        assert self.process.stdin  # a pipe
        with suppress(OSError):
            pickle.dump(request, self.process.stdin)
            self.process.stdin.flush()

    def receive(self) -> Any:
        """Return the child's next message; raise WorkerDied when it ended instead."""
        assert self.process.stdout  # a pipe
        try:
            return pickle.load(self.process.stdout)
        except (OSError, EOFError, ValueError, pickle.UnpicklingError):
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(PATIENCE_SECONDS)  # its own end is to be reported, not ours
            self.end()
            is_out_of_memory = any(each in self._last_words for each in OUT_OF_MEMORY)
            raise WorkerDied(how_ended(self.process.returncode, is_out_of_memory),
                             is_out_of_memory) from None  # fmt: skip

    def stop(self) -> None:
        """Ask the child to stop; end it by force when it has not within PATIENCE_SECONDS."""
        self.process.terminate()
        threading.Thread(target=self._insist, daemon=True).start()

    def _insist(self) -> None:
        try:
            self.process.wait(PATIENCE_SECONDS)
        except subprocess.TimeoutExpired:
            self.process.kill()

    def kill(self) -> None:
        """Kill the child; what waits in receive goes on with WorkerDied."""
        self.process.kill()

    def end(self) -> None:
        """Kill the child and wait until it is gone."""
        self.process.kill()
        self.process.wait()
        self._drain.join()
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            with suppress(OSError):
                if pipe:
                    pipe.close()

    def _keep_last_words(self) -> None:
        assert self.process.stderr  # a pipe
        with suppress(OSError, ValueError):
            while piece := os.read(self.process.stderr.fileno(), KEPT_BYTES):
                self._last_words = (self._last_words + piece)[-KEPT_BYTES:]


def command(function: str) -> list[str]:
    """Return the command that starts a child for a function."""
    return [sys.executable, "-c", f"from {__name__} import serve; serve({function!r})"]


def how_ended(code: int, is_out_of_memory: bool) -> str:
    """Say what ended a process: memory, a signal or a fault; `code`: negative for a signal."""
    if is_out_of_memory:
        return "its process was refused more memory"
    if code >= 0:
        return f"its process ended with a fault, exit code {code}"
    name = next((each.name for each in signal.Signals if each == -code), f"signal {-code}")
    memory = ", as a system out of memory does" if name == "SIGKILL" else ""
    return f"its process was killed by {name}{memory}"


def serve(function: str) -> None:
    """Answer requests in the child until the parent closes the pipe or is gone."""
    pipe, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # nothing else may reach the answers
    requests: SimpleQueue[Any] = SimpleQueue()
    _on_stop(signal.SIG_DFL)
    answer = pkgutil.resolve_name(function)  # first: unpickling may import the same modules
    threading.Thread(target=_listen, args=(pipe, requests), daemon=True).start()

    def send(message: object) -> None:
        try:
            pickle.dump(message, answers, pickle.HIGHEST_PROTOCOL)
            answers.flush()
        except BrokenPipeError:
            raise KeyboardInterrupt from None  # the parent is gone

    while (request := requests.get()) is not None:
        try:
            answer(request, send)
        except KeyboardInterrupt:
            sys.exit(INTERRUPTED)
        _on_stop(signal.SIG_DFL)


def stop_by_interrupt() -> None:
    """Raise KeyboardInterrupt on a stop in the child from now on, so that it can clean up."""
    _on_stop(signal.default_int_handler)


def ignore_stop() -> None:
    """Ignore a stop in the child until it has answered: it comes too late."""
    _on_stop(signal.SIG_IGN)


def _on_stop(handler: Any) -> None:
    """Set the handler of every stopping signal, whatever the shell of the parent ignores."""
    for each in STOPPING:
        signal.signal(each, handler)


def _listen(pipe: IO[bytes], requests: "SimpleQueue[Any]") -> None:
    """Queue the requests; at the end of the pipe stop the child, in the end by force."""
    with suppress(EOFError, OSError, pickle.UnpicklingError):
        while True:
            requests.put(pickle.load(pipe))
    requests.put(None)
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(PATIENCE_SECONDS)
    os._exit(1)
