"""load --inbox: what a timer runs; one line, exit 0 or 1."""

import argparse
from collections.abc import Sequence
from pathlib import Path

from dashboard.cli.shop import default_database
from dashboard.cli.terminal import say
from dashboard.database.snapshot import take
from dashboard.database.version import NothingLoaded
from dashboard.month.papers import write_papers
from dashboard.settings.file import for_load, read_settings
from etl.inbox import run_inbox
from etl.load import load
from etl.load_report import Account

PAPERS = "papers"


def load_inbox(chosen: argparse.Namespace) -> int:
    """Load what is complete in the inbox, write the month's paper, and say so in one line."""
    folder = chosen.db or default_database()
    settings = for_load(read_settings(folder))

    def loads(paths: Sequence[Path]) -> Account:
        return load(paths, folder, settings=settings)

    outcome = run_inbox(chosen.inbox, loads)
    place = chosen.inbox / PAPERS
    try:
        months = write_papers(take(folder), place)
    except NothingLoaded:
        months = []
    except OSError as error:
        months = []
        outcome.problems.append(f"{place}: cannot be written ({error.strerror})")
    written = f"; paper written: {', '.join(months)}" if months else ""
    say(f"{outcome.line}{written}")
    return outcome.code
