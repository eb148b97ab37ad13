"""The command line's only handler. Exit 0 when well; 1 with one line that says why not; 2 on a
wrong call; 70 on a fault of the program (sysexits.h, EX_SOFTWARE), with the trace in a file; 130
when it was stopped with Ctrl+C.
"""

import os
import sys
import traceback
from collections.abc import Callable, Sequence
from contextlib import suppress

from dashboard.cli.terminal import complain, prepare

FAULT, INTERRUPTED = 70, 130  # 130 = 128 + SIGINT, as shells count


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        code = _guarded(lambda: _run(given), is_verbose="--verbose" in given)
    except SystemExit:  # help, or a wrong call
        if not _guarded(_flush, is_verbose=False):
            raise
        return 1
    return code or _guarded(_flush, is_verbose=False)


def _run(arguments: list[str]) -> int:
    prepare()
    from dashboard.cli.parser import run  # loads the libraries: a Ctrl+C can come meanwhile

    return run(arguments)


def _flush() -> int:
    sys.stdout.flush()
    return 0


def _guarded(action: Callable[[], int], *, is_verbose: bool) -> int:
    """Return what the action returns, or the exit code of a failure, reported in one line."""
    try:
        return action()
    except KeyboardInterrupt:
        complain("stopped")
        return INTERRUPTED
    except BrokenPipeError:
        _close_output()
        return 0
    except Exception as problem:
        if is_verbose:
            traceback.print_exc()
        return _code_of(problem)


def _code_of(problem: Exception) -> int:
    from etl.cancellation import Stopped
    from etl.folder.errors import UserError

    if isinstance(problem, Stopped):
        complain(problem)
        return INTERRUPTED
    if isinstance(problem, UserError):
        complain(problem)
        return 1
    if isinstance(problem, OSError):
        place = problem.filename if problem.filename is not None else "standard output"
        complain(f"{place}: cannot be read or written ({problem.strerror or 'no reason given'})")
        _close_output()
        return 1
    from etl.folder.fault_log import report_fault

    complain(report_fault(problem))
    return FAULT


def _close_output() -> None:
    """Send what is still to be written nowhere: standard output takes nothing any more."""
    with suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
