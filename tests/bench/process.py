"""One process with all its children, measured from outside: wait, processor time, peak memory."""

import ctypes
import os
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

SUBREAPER = 36  # PR_SET_CHILD_SUBREAPER of prctl(2): orphans become ours, so their time is counted
LOOK_EVERY_S = 0.2


@dataclass(frozen=True)
class Run:
    """One process: seconds by the clock, seconds of processor, megabytes at the peak."""

    wall_s: float
    cpu_s: float
    peak_mb: float


def run(arguments: Sequence[str], environment: dict[str, str]) -> Run:
    """Run a command to its end. Raises RuntimeError when it fails.

    Memory is the larger of what the kernel noted for any one process and the sum over all of them,
    shared pages once, looked at five times a second. Linux only.
    """
    with _adopting():
        return _measured(arguments, environment)


@contextmanager
def _adopting() -> Iterator[None]:
    kernel = ctypes.CDLL(None)
    kernel.prctl(SUBREAPER, 1)
    try:
        yield
    finally:
        kernel.prctl(SUBREAPER, 0)


def _measured(arguments: Sequence[str], environment: dict[str, str]) -> Run:
    began = time.perf_counter()
    first = os.posix_spawn(arguments[0], arguments, environment, setpgroup=0)
    sums, is_over = [0.0], threading.Event()
    watch = threading.Thread(target=_watch, args=(first, sums, is_over))
    watch.start()
    _, status, usage = os.wait4(first, 0)
    wall_s = time.perf_counter() - began
    is_over.set()
    watch.join()
    usages = [usage, *_orphans(first)]
    if status:
        raise RuntimeError(f"ended with status {status}; run: {' '.join(arguments)}")
    largest = max(usage.ru_maxrss for usage in usages) / 1024
    return Run(wall_s, sum(u.ru_utime + u.ru_stime for u in usages), max(largest, *sums))


def _orphans(group: int) -> Iterator:
    """Wait for what the process left running; its end of the pipe is closed, so it ends."""
    with suppress(ChildProcessError):
        while True:
            yield os.wait4(-group, 0)[2]


def _watch(first: int, sums: list[float], is_over: threading.Event) -> None:
    while not is_over.wait(LOOK_EVERY_S):
        sums.append(sum(map(_memory_mb, _family(first))))


def _family(process: int) -> Iterator[int]:
    yield process
    for children in Path(f"/proc/{process}/task").glob("*/children"):
        with suppress(OSError):
            for child in children.read_text().split():
                yield from _family(int(child))


def _memory_mb(process: int) -> float:
    with suppress(OSError):
        for line in Path(f"/proc/{process}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1]) / 1024
    return 0.0
