"""The command `quarantine`: what waits to be fixed."""

import argparse
from functools import partial
from typing import Any

from dashboard.cli.argument_types import path
from dashboard.cli.shop import snapshot_of
from dashboard.cli.terminal import say
from dashboard.database.query import records
from etl.quarantine import waiting_sources, write_waiting


def add_quarantine(
    added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser
) -> None:
    """Add the command."""
    command = added.add_parser(
        "quarantine",
        parents=[common],
        help="what waits to be fixed, in the source's own columns with the reasons",
        epilog="example: ohmhours quarantine --out to_fix; correct the files, then: "
        "ohmhours load to_fix",
    )
    command.add_argument("--out", type=path, metavar="FOLDER", help="write one CSV file a source")
    command.set_defaults(run=quarantine)


def quarantine(chosen: argparse.Namespace) -> int:
    """Say what waits, and write it out to be corrected."""
    ask = partial(records, snapshot_of(chosen))
    sources = waiting_sources(ask)
    if not sources:
        say("nothing waits in quarantine")
    for source in sources:
        sheet = f" [{source.sheet}]" if source.sheet else ""
        waiting = f"{source.file}{sheet}: {source.count:,} rows of {source.table} wait"
        say(waiting)
    if chosen.out:
        for path in write_waiting(ask, chosen.out):
            say(f"written: {path}")
    return 0
