"""A package that takes its time to import before it imports the type of its own requests."""

import time

time.sleep(0.5)

from tests.etl.slow_import.request import Request  # noqa: E402


def answer(request: Request, send) -> None:
    """Send what was asked for."""
    send(request.number)
