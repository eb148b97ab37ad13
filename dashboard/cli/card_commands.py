"""The commands card and talk: a technician's card for a talk, and what was agreed."""

import argparse
from typing import Any

from dashboard.card.load import Card, card_of, technicians
from dashboard.card.paper import as_text, html
from dashboard.cli.argument_types import day, text
from dashboard.cli.html_or_pdf import add_out, show_sheet
from dashboard.cli.shop import snapshot_of
from dashboard.cli.terminal import say
from dashboard.database.version import NoData
from dashboard.filters import Filters
from dashboard.notes.talks import TALKED_OF, note_talk
from dashboard.text.format import listed


def add_card(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command card."""
    command = added.add_parser(
        "card",
        parents=[common],
        help="one page for a talk with a technician: what goes well, patterns, questions",
        epilog="example: ohmhours card Ann --from 2026-01-01 --out ann.pdf",
    )
    command.add_argument("technician", type=text, metavar="NAME", help="as in the records")
    command.add_argument("--from", dest="start", type=day, metavar="DATE", help="closed from")
    command.add_argument("--to", dest="end", type=day, metavar="DATE", help="closed to")
    add_out(command)
    command.set_defaults(run=_card)


def add_talk(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command talk."""
    command = added.add_parser(
        "talk",
        parents=[common],
        help="note a talk with a technician and the point agreed; the next card shows the trend",
        epilog='example: ohmhours talk Ann "test before replacing" --on 2026-06-01',
    )
    command.add_argument("technician", type=text, metavar="NAME", help="as in the records")
    command.add_argument("agreed", type=text, metavar="POINT", help="what was agreed")
    command.add_argument("--on", type=day, required=True, metavar="DATE", help="the day")
    command.add_argument(
        "--measure", choices=TALKED_OF, metavar="NAME", help="what should fall: "
        + ", ".join(TALKED_OF),
    )  # fmt: skip
    command.set_defaults(run=_talk)


def _card(chosen: argparse.Namespace) -> int:
    def make() -> Card:
        filters = Filters(from_date=chosen.start, to_date=chosen.end)
        return card_of(snapshot_of(chosen), chosen.technician, filters)

    return show_sheet(chosen.out, "a card", make, as_text, html)


def _talk(chosen: argparse.Namespace) -> int:
    snapshot = snapshot_of(chosen)
    known = technicians(snapshot)
    if chosen.technician not in known:
        wanted = listed(known, "or") if known else "a name of the records; they hold none"
        raise NoData(f"technician {chosen.technician!r} is not in these records; wanted {wanted}")
    note_talk(snapshot.folder, chosen.technician, chosen.on, chosen.agreed, chosen.measure)
    say(f"noted: the talk with {chosen.technician} on {chosen.on}")
    return 0
