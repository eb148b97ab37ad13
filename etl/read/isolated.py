"""Files are read in processes of their own: a bad one may hang, crash or fill its process.

The libraries for workbooks and Parquet reserve memory by counts that stand in the file; a wrong
count ends the process at once, without an exception (measured on damaged .xls files). JSON of
millions of tiny items takes many times its size. None of it reaches whoever else is served.
"""

import os
import pickle
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import Any

from etl.folder.regular_file import opened
from etl.personal.redact_names import shown_file
from etl.read.source_table import Limits, SourceTable, UnreadableFile

CODE = "from etl.read.isolated import serve; serve()"
LEAST_SECONDS, SLOWEST_BYTES = 30, 50_000  # per file; bytes a second of the slowest format
AT_ONCE = 4  # files; a fifth waits until one of them is done or has had its time
KEPT_BELOW_BYTES = 200_000_000  # a child that read more gives its memory back by ending
BY_BEGINNING = {b"PAR1": "truncated_parquet", b"PK\x03\x04": "broken_workbook"}
BY_BEGINNING |= {b"\xd0\xcf\x11\xe0": "broken_workbook"}

Child = subprocess.Popen[bytes]

_turns = threading.BoundedSemaphore(AT_ONCE)
_idle: list[Child] = []  # appending and popping are atomic


def read_apart(path: Path, limits: Limits, is_head: bool = False) -> list[SourceTable]:
    """Return the tables of a file, with `is_head` those of a large text without rows.

    Raises UnreadableFile, also when the child died or hung.
    """
    with _turns:
        child = _child()
        late = threading.Event()
        seconds = _seconds(path, limits)
        alarm = threading.Timer(seconds, _end_late, (child, late))
        alarm.daemon = True
        alarm.start()
        try:
            answer = _answer(child, (Path(os.path.abspath(path)), limits, is_head))
        except (OSError, EOFError, pickle.UnpicklingError):
            _end(child)
            if late.is_set():
                told = f"not read within {seconds:,.0f} seconds"
                raise UnreadableFile(path.name, "too_large", told) from None
            raise UnreadableFile(path.name, _kind_of_death(path)) from None
        except BaseException:  # stopped while waiting: its answer must not meet the next file
            _end(child)
            raise
        finally:
            alarm.cancel()
        _keep(child, path)
    if isinstance(answer, list):
        return answer
    raise answer


def _seconds(path: Path, limits: Limits) -> float:
    """Return how long a file may take: a small one that takes longer was made to."""
    try:
        size = path.stat().st_size
    except (OSError, ValueError):
        size = 0
    return min(limits.max_seconds, LEAST_SECONDS + size / SLOWEST_BYTES)


def _answer(child: Child, question: tuple[Path, Limits, bool]) -> Any:
    assert child.stdin and child.stdout  # _child opens both
    pickle.dump(question, child.stdin)
    child.stdin.flush()
    return pickle.load(child.stdout)


def _end_late(child: Child, late: threading.Event) -> None:
    late.set()
    child.kill()


def _kind_of_death(path: Path) -> str:
    """Return the problem of a file that took its process down."""
    try:
        with opened(path) as file:
            return BY_BEGINNING.get(file.read(4), "too_large")
    except OSError:
        return "missing_file"


def _child() -> Child:
    """Return a child that waits for a file; a new one when there is none or it died."""
    while _idle:
        child = _idle.pop()
        if child.poll() is None:
            return child
        _end(child)
    places = os.pathsep.join(place or os.getcwd() for place in sys.path)
    return subprocess.Popen(
        [sys.executable, "-c", CODE],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,  # the library's last words may hold a cell
        env=os.environ | {"PYTHONPATH": places},
    )


def _keep(child: Child, path: Path) -> None:
    is_small = False
    with suppress(OSError, ValueError):
        is_small = path.stat().st_size < KEPT_BELOW_BYTES
    if is_small:
        _idle.append(child)
    else:
        _end(child)


def _end(child: Child) -> None:
    """End a child for good, so that the next file never meets one that is dying."""
    child.kill()
    for pipe in filter(None, (child.stdin, child.stdout)):
        with suppress(OSError):
            pipe.close()
    child.wait()


def serve() -> None:
    """Answer one file after another until the parent is gone: tables, or why there are none."""
    from pyarrow import default_memory_pool

    from etl.read.formats import heads_of, tables_of

    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    while True:
        try:
            path, limits, is_head = pickle.load(requests)
        except EOFError:
            return
        _limit_memory(limits.max_memory_bytes)
        try:
            answer: object = (heads_of if is_head else tables_of)(path, limits)
        except UnreadableFile as refusal:
            answer = refusal
        except Exception as fault:  # a fault of ours: the parent raises it, without any cell
            answer = RuntimeError(
                f"{shown_file(path.name)}: the reader failed ({type(fault).__name__})"
            )
        pickle.dump(answer, answers, pickle.HIGHEST_PROTOCOL)  # columns go as they stand
        answers.flush()
        del answer
        default_memory_pool().release_unused()  # 88 MB read: 276 MB held, 150 MB after


def _limit_memory(most_bytes: int) -> None:
    with suppress(ImportError, OSError, ValueError):
        import resource

        _, hard = resource.getrlimit(resource.RLIMIT_AS)
        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, hard))
