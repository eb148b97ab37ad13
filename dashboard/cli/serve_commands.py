"""The commands `demo` and `dashboard`: open the pages, of the sample shop or of the own."""

import argparse
from importlib.resources import as_file, files
from typing import Any

from dashboard.cli.argument_types import port
from dashboard.cli.shop import default_database
from dashboard.cli.terminal import progress, say
from dashboard.notes.sample import note_sample
from dashboard.server import launch
from etl.load import load


def add_demo(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "demo",
        parents=[common],
        help="load the invented sample shop and open the dashboard on it",
        epilog="example: ohmhours demo --port 8600",
    )
    _add_serving(command)
    command.set_defaults(run=demo)


def add_dashboard(
    added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser
) -> None:
    """Add the command."""
    command = added.add_parser(
        "dashboard",
        parents=[common],
        help="open the pages",
        epilog="example: ohmhours dashboard --db ~/shop",
    )
    _add_serving(command)
    command.set_defaults(run=dashboard)


def _add_serving(command: argparse.ArgumentParser) -> None:
    command.add_argument("--port", type=port, help="port (default: a free one from 8517 on)")
    command.add_argument("--host", default="127.0.0.1", help="address (default: this machine only)")
    command.add_argument("--no-browser", action="store_true", help="only print the address")


def demo(chosen: argparse.Namespace) -> int:
    """Load the sample shop and open the dashboard on it."""
    folder = chosen.db or default_database("demo")
    with as_file(files("sample_data")) as sample:
        account = load([sample], folder, progress=progress())
    note_sample(folder)
    read = sum(file.read for file in account.files)
    say(f"The invented sample shop is loaded: {read:,} rows, in {folder}")
    return launch.run(folder, chosen.host, chosen.port, opens_browser=not chosen.no_browser)


def dashboard(chosen: argparse.Namespace) -> int:
    """Open the pages."""
    folder = chosen.db or default_database()
    return launch.run(folder, chosen.host, chosen.port, opens_browser=not chosen.no_browser)
