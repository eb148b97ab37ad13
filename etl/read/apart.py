"""Workbooks are read in a process of their own: a damaged one may take that process down.

The workbook library reserves memory by counts that stand in the file; a wrong count ends the
process at once, without an exception (measured on damaged .xls files). One child serves all files.
"""

import os
import pickle
import subprocess
import sys
import threading
from contextlib import suppress

from etl.read.source import Limits, SourceTable, UnreadableFile

CODE = "from etl.read.apart import serve; serve()"
MEMORY_BYTES = 8 << 30
LONGEST_SECONDS = 900

_turn = threading.Lock()
_children: list[subprocess.Popen] = []


def read_apart(file: str, content: bytes, limits: Limits) -> list[SourceTable]:
    """Return the tables of a workbook; raises UnreadableFile, also when the child died of it."""
    with _turn:
        child = _child()
        too_long = threading.Timer(LONGEST_SECONDS, child.kill)
        too_long.daemon = True
        too_long.start()
        try:
            pickle.dump((file, content, limits), child.stdin)
            child.stdin.flush()
            answer = pickle.load(child.stdout)
        except (OSError, EOFError, pickle.UnpicklingError):
            _end(child)
            raise UnreadableFile(file, "broken_workbook") from None
        finally:
            too_long.cancel()
    if isinstance(answer, tuple):
        raise UnreadableFile(file, *answer)
    return answer


def _child() -> subprocess.Popen:
    """Return the child; a new one when there is none or it died."""
    if _children and _children[0].poll() is None:
        return _children[0]
    while _children:
        _end(_children.pop())
    path = os.pathsep.join(place or os.getcwd() for place in sys.path)
    _children.append(
        subprocess.Popen(
            [sys.executable, "-c", CODE],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # the library's last words may hold a cell
            env=os.environ | {"PYTHONPATH": path},
        )
    )
    return _children[0]


def _end(child: subprocess.Popen) -> None:
    """End a child for good, so that the next file never meets one that is dying."""
    child.kill()
    for pipe in (child.stdin, child.stdout):
        with suppress(OSError):
            pipe.close()
    child.wait()


def serve() -> None:
    """Answer one workbook after another until the parent is gone: tables, or problem and detail."""
    from etl.read.workbook import tables_of

    _limit_memory()
    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    while True:
        try:
            file, content, limits = pickle.load(requests)
        except EOFError:
            return
        try:
            answer = tables_of(file, content, limits)
        except UnreadableFile as refusal:
            answer = (refusal.problem, refusal.detail)
        pickle.dump(answer, answers)
        answers.flush()


def _limit_memory() -> None:
    with suppress(ImportError, OSError, ValueError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
