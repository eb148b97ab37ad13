"""The command recording: what is not written down, and which answers that costs."""

import argparse
from typing import Any

from dashboard.cli.argument_types import add_filters, filters_of, path
from dashboard.cli.commands import snapshot_of
from dashboard.cli.html_or_pdf import check_paper, write_paper
from dashboard.cli.terminal import say
from dashboard.database.filter_words import filter_words
from dashboard.database.labels import read_labels
from dashboard.recording.sheet import as_text, html, sheet_of


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
    command.add_argument(
        "--out", type=path, metavar="FILE", help="a .html or .pdf file (default: as text)"
    )
    command.set_defaults(run=_recording)


def _recording(chosen: argparse.Namespace) -> int:
    if chosen.out:
        check_paper(chosen.out, "the list of what is missing")
    snapshot, filters = snapshot_of(chosen), filters_of(chosen)
    sheet = sheet_of(snapshot, filters, filter_words(filters, read_labels(snapshot)))
    if chosen.out:
        write_paper(chosen.out, html(sheet))
    else:
        say(as_text(sheet))
    return 0
