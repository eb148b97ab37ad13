"""Files are read in processes of their own: a bad one may hang, crash or fill its process.

The libraries for workbooks and Parquet reserve memory by counts in the file; a wrong
count ends the process at once, without an exception (measured on damaged .xls files). JSON of
millions of tiny items takes many times its size. None of it reaches whoever else is served.
"""

import os
import threading
from contextlib import suppress
from pathlib import Path

from etl.folder.regular_file import opened
from etl.personal.redact_names import shown_file
from etl.read.source_table import Limits, SourceTable, UnreadableFile
from etl.worker_process import Send, Worker, WorkerDied

ANSWER = "etl.read.isolated:answer"
LEAST_SECONDS, SLOWEST_BYTES = 30, 50_000  # per file; bytes a second of the slowest format
AT_ONCE = 4  # files; a fifth waits until one of them is done or has had its time
KEPT_BELOW_BYTES = 200_000_000  # a child that read more gives its memory back by ending
BY_BEGINNING = {b"PAR1": "truncated_parquet", b"PK\x03\x04": "broken_workbook"}
BY_BEGINNING |= {b"\xd0\xcf\x11\xe0": "broken_workbook"}

Request = tuple[Path, Limits, bool]

_turns = threading.BoundedSemaphore(AT_ONCE)
_idle: list[Worker] = []  # appending and popping are atomic


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
            child.send((Path(os.path.abspath(path)), limits, is_head))
            answer = child.receive()
        except WorkerDied as death:
            if late.is_set():
                detail = f"not read within {seconds:,.0f} seconds"
                raise UnreadableFile(path.name, "too_large", detail) from None
            raise _refusal(path, death, limits) from None
        except BaseException:  # stopped while waiting: its answer must not meet the next file
            child.end()
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


def _end_late(child: Worker, late: threading.Event) -> None:
    late.set()
    child.kill()


def _refusal(path: Path, death: WorkerDied, limits: Limits) -> UnreadableFile:
    """Return why a file that took its process down was refused."""
    try:
        with opened(path) as file:
            damaged = BY_BEGINNING.get(file.read(4))
    except OSError:
        return UnreadableFile(path.name, "missing_file")
    if death.is_out_of_memory:
        return UnreadableFile(path.name, damaged or "too_large", _too_much_memory(limits))
    return UnreadableFile(path.name, damaged or "reader_died", str(death))


def _too_much_memory(limits: Limits) -> str:
    return f"reading it takes more memory than the limit of {limits.max_memory_bytes:,} bytes"


def _child() -> Worker:
    """Return a child that waits for a file; a new one when there is none or it died."""
    while _idle:
        child = _idle.pop()
        if child.is_alive:
            return child
        child.end()
    return Worker(ANSWER)


def _keep(child: Worker, path: Path) -> None:
    is_small = False
    with suppress(OSError, ValueError):
        is_small = path.stat().st_size < KEPT_BELOW_BYTES
    if is_small:
        _idle.append(child)
    else:
        child.end()


def answer(request: Request, send: Send) -> None:
    """Read one file in the child; send its tables, or why there are none."""
    from pyarrow import default_memory_pool

    _limit_memory(request[1].max_memory_bytes)
    send(_tables_or_why(*request))  # outside of any handler: half an answer must be the last
    default_memory_pool().release_unused()  # 88 MB read: 276 MB held, 150 MB after


def _tables_or_why(path: Path, limits: Limits, is_head: bool) -> object:
    from etl.read.formats import heads_of, tables_of

    try:
        return heads_of(path, limits) if is_head else tables_of(path, limits)
    except UnreadableFile as refusal:
        return refusal
    except MemoryError:
        return UnreadableFile(path.name, "too_large", _too_much_memory(limits))
    except Exception as fault:  # a fault of ours: the parent raises it, without any cell
        name = shown_file(path.name)
        return RuntimeError(f"{name}: the reader failed ({type(fault).__name__})")


def _limit_memory(most_bytes: int) -> None:
    with suppress(ImportError, OSError, ValueError):
        import resource

        _, hard = resource.getrlimit(resource.RLIMIT_AS)
        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, hard))
