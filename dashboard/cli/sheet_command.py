"""The command `sheet`: one complaint on one page, to the terminal or as a file."""

import argparse
from typing import Any

from dashboard.cli.argument_types import text
from dashboard.cli.html_or_pdf import add_out, show_sheet
from dashboard.cli.shop import snapshot_of
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.database.version import NoData
from dashboard.sheet.figures import Sheet, Subject
from dashboard.sheet.html import html
from dashboard.sheet.load import complaint_sheet
from dashboard.sheet.plain_text import as_text
from dashboard.text.format import listed


def add_sheet(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "sheet",
        parents=[common],
        help="one complaint on one page: causes, tests in order, parts, minutes, price, past jobs",
        epilog="example: ohmhours sheet refrigerator warm_fresh_food --out sheet.pdf",
    )
    command.add_argument("kind", type=text, metavar="KIND", help="the appliance, such as washer")
    command.add_argument(
        "complaint", type=text, metavar="COMPLAINT", help="the complaint, such as wont_drain"
    )
    command.add_argument("--brand", type=text, metavar="B", help="of this brand")
    command.add_argument("--model", type=text, metavar="M", help="of this model")
    add_out(command)
    command.set_defaults(run=sheet)


def sheet(chosen: argparse.Namespace) -> int:
    """Print the sheet, or write it as a file."""

    def make() -> Sheet:
        snapshot = snapshot_of(chosen)
        check_subject(snapshot, chosen.kind, chosen.complaint)
        subject = Subject(chosen.kind, chosen.complaint, chosen.brand, chosen.model)
        return complaint_sheet(snapshot, subject)

    return show_sheet(chosen.out, "a sheet", make, as_text, html)


def check_subject(snapshot: Snapshot, kind: str, complaint: str) -> None:
    """Raise NoData, with the ids to choose from, unless there is a sheet of this complaint."""
    choices = run(snapshot, "pages/sheet_choices")
    kinds = sorted(set(choices["appliance_kind"]))
    if kind not in kinds:
        raise NoData(f"kind {kind!r} is not known here; wanted one of {listed(kinds, 'or')}")
    complaints = sorted(set(choices.loc[choices["appliance_kind"] == kind, "symptom"]))
    if complaint not in complaints:
        raise NoData(
            f"complaint {complaint!r} of {kind} is not known here; wanted one of "
            f"{listed(complaints, 'or')}"
        )
