"""Warm-up: what the first page of a new version would wait for is computed in the background."""

import gc
import logging
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib import import_module
from pathlib import Path
from threading import Event, Thread
from typing import Any

from dashboard.access.reader import AT_THE_MACHINE, read_as
from dashboard.database import version as served
from dashboard.database.admission import ADMISSION, RUNS
from dashboard.errors import UserError
from dashboard.settings.file import database_folder

LOOK_EVERY_S = 2
REST_S = 0.05  # between two questions: whoever reads meanwhile comes first
PATIENCE_S = 10  # where somebody always reads, a question is asked after so long all the same
# How long a thread may go on while another wants to. numpy lets others in at every call on a long
# array and waits so long to go on: at Python's 5 ms a page of many calls never came to its end.
TURN_S = 0.0005
log = logging.getLogger(__name__)


@asynccontextmanager
async def kept_warm(app: Any) -> AsyncIterator[None]:
    """Warm up each published version for as long as the server runs."""
    stopped = Event()
    Thread(target=_follow, args=(database_folder(), stopped), daemon=True).start()
    yield
    stopped.set()


def _follow(folder: Path, stopped: Event) -> None:
    read_as(AT_THE_MACHINE)  # in this thread only
    ADMISSION.go_last()
    pages = import_module(
        "dashboard.server.warm_up_queries"
    )  # long to read: the server answers already
    _spare_the_collector()
    sys.setswitchinterval(TURN_S)
    warm = None
    while not stopped.is_set():
        found = _version(folder)
        if found not in (None, warm):
            compute(pages.questions(folder), stopped)
            warm = found
        stopped.wait(LOOK_EVERY_S)


def _spare_the_collector() -> None:
    """Take all modules out of the collector's rounds.

    Streamlit collects garbage at the end of every run, which holds up what the page still has to
    send; going through the modules each time would take longer than most pages do.
    """
    gc.collect()
    gc.freeze()


def _version(folder: Path) -> Path | None:
    """Return the version that pages read; None while there is none."""
    try:
        return served.version(folder)
    except UserError:
        return None


def compute(questions: Any, stopped: Event) -> None:
    """Ask one question after the other; a failing one is logged, and reported by its page."""
    for name, ask in questions:
        RUNS.wait_for_none(PATIENCE_S)
        if stopped.wait(REST_S):
            return
        try:
            ask()
        except Exception as problem:
            log.warning("the page %s could not be warmed up", name, exc_info=problem)
