"""How the commands are called."""

import argparse
from collections.abc import Sequence
from importlib.metadata import version

from dashboard.cli.accept_command import add_accept
from dashboard.cli.argument_types import shown_path
from dashboard.cli.backup_commands import add_backup, add_restore, add_undo
from dashboard.cli.card_commands import add_card, add_talk
from dashboard.cli.explain_command import add_explain
from dashboard.cli.load_command import add_load
from dashboard.cli.measure_command import add_measure
from dashboard.cli.name_commands import add_names
from dashboard.cli.note_commands import add_changes, add_note, add_target
from dashboard.cli.plain_parser import PlainParser
from dashboard.cli.price_command import add_prices
from dashboard.cli.print_command import add_print
from dashboard.cli.quarantine_command import add_quarantine
from dashboard.cli.recording_command import add_recording
from dashboard.cli.report_command import add_report
from dashboard.cli.schedule_command import add_schedule
from dashboard.cli.serve_commands import add_dashboard, add_demo
from dashboard.cli.sheet_command import add_sheet
from dashboard.cli.terminal import complain
from dashboard.database.version import Damaged


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code; SystemExit on a wrong call."""
    return _run(command_line().parse_args(arguments))


def _run(chosen: argparse.Namespace) -> int:
    """Run the command; once more from the last good version when the newest turns out damaged."""
    try:
        code: int = chosen.run(chosen)
    except Damaged:
        return _run(chosen)
    if notice := getattr(chosen, "notice", None):
        complain(notice)
    return code


def command_line() -> argparse.ArgumentParser:
    """Return the parser of all commands; `run` of what it gives is what a command does."""
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--db",
        type=shown_path,
        metavar="PATH",
        help="the shop's database folder (default: the user's data folder)",
    )
    common.add_argument("--verbose", action="store_true", help="show where an error came from")
    parser = PlainParser(
        prog="ohmhours",
        description="What a small appliance-service shop can learn from its own finished repairs.",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {version('ohmhours')}")
    added = parser.add_subparsers(required=True, metavar="COMMAND")
    for add in (
        add_demo,
        add_load,
        add_quarantine,
        add_accept,
        add_names,
        add_dashboard,
        add_measure,
        add_explain,
        add_sheet,
        add_report,
        add_prices,
        add_changes,
        add_note,
        add_target,
        add_recording,
        add_card,
        add_talk,
        add_print,
        add_schedule,
        add_backup,
        add_restore,
        add_undo,
    ):
        add(added, common)
    return parser
