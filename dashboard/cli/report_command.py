"""The command `report`: the month as a file."""

import argparse
from typing import Any

from dashboard.cli.argument_types import month, path
from dashboard.cli.html_or_pdf import check_paper, write_paper
from dashboard.cli.shop import snapshot_of
from dashboard.month.load import month_html


def add_report(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "report",
        parents=[common],
        help="the month in review as a file that stands alone",
        epilog="example: ohmhours report --month 2026-10 --out month.pdf",
    )
    command.add_argument("--month", required=True, type=month, metavar="YYYY-MM")
    command.add_argument(
        "--out", required=True, type=path, metavar="FILE", help="a .html or .pdf file"
    )
    command.set_defaults(run=report)


def report(chosen: argparse.Namespace) -> int:
    """Write the month as a file."""
    check_paper(chosen.out, "a month")
    write_paper(chosen.out, month_html(snapshot_of(chosen), chosen.month))
    return 0
