"""A fault of the program: its trace goes to a file, without values, which may be a customer's."""

import os
import secrets
import traceback
from datetime import UTC, datetime
from pathlib import Path

from platformdirs import user_log_path

KEPT_LOGS = 20


def report_fault(error: BaseException, state: str = "nothing was published") -> str:
    """Write the trace of an error to a file and return the line that says so.

    `state`: what holds nevertheless.
    """
    kind = type(error).__name__
    try:
        path = _write(_trace(error))
    except OSError as problem:
        return f"internal error ({kind}); no trace was kept ({problem.strerror}); please report it"
    return f"internal error ({kind}); {state}; please report it with {path}"


def _trace(error: BaseException) -> str:
    """Return where an error and its causes came from: places and kinds, no messages, no values."""
    parts = []
    found: BaseException | None = error
    while found is not None:
        parts += [*traceback.format_tb(found.__traceback__), f"{type(found).__name__}\n\n"]
        found = found.__cause__ or found.__context__
    return "".join(parts)


def _write(text: str) -> Path:
    folder = user_log_path("ohmhours", appauthor=False)
    folder.mkdir(parents=True, exist_ok=True)
    for old in sorted(folder.glob("fault-*.log"))[: -KEPT_LOGS + 1]:
        old.unlink(missing_ok=True)
    path = folder / f"fault-{datetime.now(UTC):%Y%m%dT%H%M%SZ}-{secrets.token_hex(3)}.log"
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8", errors="backslashreplace") as file:
        file.write(text)
    return path
