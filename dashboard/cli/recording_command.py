"""The command recording: what is not written down, and which answers that costs."""

import argparse
from typing import Any

from dashboard.cli.argument_types import add_filters, filters_of
from dashboard.cli.html_or_pdf import add_out, show_sheet
from dashboard.cli.shop import snapshot_of
from dashboard.database.filter_words import filter_words
from dashboard.database.labels import read_labels
from dashboard.recording.sheet import Sheet, as_text, html, sheet_of


def add_recording(
    added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser
) -> None:
    """Add the command."""
    command = added.add_parser(
        "recording",
        parents=[common],
        help="what is not written down, by field, technician and branch, and what that costs",
        epilog="example: ohmhours recording --from 2026-01-01 --out not_written_down.pdf",
    )
    add_filters(command)
    add_out(command)
    command.set_defaults(run=_recording)


def _recording(chosen: argparse.Namespace) -> int:
    def make() -> Sheet:
        snapshot, filters = snapshot_of(chosen), filters_of(chosen)
        return sheet_of(snapshot, filters, filter_words(filters, read_labels(snapshot)))

    return show_sheet(chosen.out, "the list of what is missing", make, as_text, html)
