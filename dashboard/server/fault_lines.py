"""Unforeseen failures of the server: one line on its terminal, the trace in a file without values.

Streamlit, its web server and our own threads log a failure with its trace, whose message may be a
customer's. Every record of a log passes here first.
"""

import logging
import sys
import threading
from types import TracebackType

from etl.folder.fault_log import report_fault

STOPS = (KeyboardInterrupt, SystemExit)


class FaultLine(logging.LogRecord):
    """A record that gives a failure as one line."""

    def __init__(self, *given: object, **named: object) -> None:
        super().__init__(*given, **named)  # type: ignore[arg-type]
        error = self.exc_info[1] if self.exc_info else None
        if error is not None:
            self.msg, self.args = report_fault(error, "the pages go on"), ()
        self.exc_info = self.exc_text = self.stack_info = None


def keep_traces() -> None:
    """Let every failure of this process, logged or not, be one line; called once, at its start."""
    logging.setLogRecordFactory(FaultLine)
    sys.excepthook = _uncaught
    threading.excepthook = lambda given: _uncaught(given.exc_type, given.exc_value, None)
    sys.unraisablehook = lambda given: _uncaught(given.exc_type, given.exc_value, None)


def _uncaught(
    kind: type[BaseException], error: BaseException | None, trace: TracebackType | None
) -> None:
    if error is None or issubclass(kind, STOPS):
        return
    print(f"ohmhours: {report_fault(error, 'the pages go on')}", file=sys.stderr, flush=True)
