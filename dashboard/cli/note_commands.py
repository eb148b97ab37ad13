"""The commands changes, note and target: what was changed, whether it worked, what is wanted."""

import argparse
from typing import Any

from dashboard.changes.figures import NAMES
from dashboard.changes.sheet import Sheet, as_text, html, sheet_of
from dashboard.cli.argument_types import condition, day, percent, text
from dashboard.cli.html_or_pdf import add_out, show_sheet
from dashboard.cli.shop import default_database, snapshot_of
from dashboard.cli.terminal import say
from dashboard.notes.changes import (
    DOWN,
    MEASURED,
    SHARES,
    UP,
    WANTED,
    note_change,
    note_target,
    remove_change,
    remove_target,
)

TOUCHED = ("branch", "technician", "appliance_kind", "symptom", "part_no")


def add_changes(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command changes."""
    command = added.add_parser(
        "changes",
        parents=[common],
        help="say of every noted change whether it worked, and of every target how likely it is",
        epilog="example: ohmhours changes --out changes.pdf",
    )
    add_out(command)
    command.set_defaults(run=_changes)


def add_note(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command note."""
    command = added.add_parser(
        "note",
        parents=[common],
        help="note a change in how the shop works, or remove one",
        epilog='example: ohmhours note "kit on vans" --on 2026-04-06 --measure part_needed',
    )
    command.add_argument("what", type=text, metavar="WHAT", help="the change, or its number")
    command.add_argument("--on", type=day, metavar="DATE", help="from which day")
    command.add_argument(
        "--measure", choices=MEASURED, metavar="NAME", help="what should move: " + ", ".join(NAMES)
    )
    command.add_argument("--way", choices=(UP, DOWN), help="which way (default: the better one)")
    command.add_argument(
        "--where",
        action="append",
        default=[],
        type=condition(TOUCHED),
        metavar="COLUMN=VALUE",
        help="whom it touches; columns " + ", ".join(TOUCHED) + "; may be repeated",
    )
    command.add_argument("--remove", action="store_true", help="remove the change of this number")
    command.set_defaults(run=_note, parser=command)


def add_target(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command target."""
    command = added.add_parser(
        "target",
        parents=[common],
        help="set a target: a share of the jobs that a month shall show",
        epilog="example: ohmhours target first_time_fix 75 2026-12-31",
    )
    command.add_argument("measure", choices=SHARES, metavar="MEASURE", help=", ".join(SHARES))
    command.add_argument("value", type=percent, metavar="PERCENT", nargs="?")
    command.add_argument("by", type=day, metavar="DATE", nargs="?", help="a day of that month")
    command.add_argument("--remove", action="store_true", help="remove the target of this measure")
    command.set_defaults(run=_target, parser=command)


def _changes(chosen: argparse.Namespace) -> int:
    def make() -> Sheet:
        return sheet_of(snapshot_of(chosen))

    return show_sheet(chosen.out, "the list of changes", make, as_text, html)


def _note(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    if chosen.remove:
        if not chosen.what.isdecimal():
            chosen.parser.error("--remove: wanted the number of a change, as in: note 2 --remove")
        remove_change(folder, int(chosen.what[:9]))
        say(f"removed: change {chosen.what}")
        return 0
    if chosen.on is None or chosen.measure is None:
        chosen.parser.error("wanted --on DATE and --measure NAME")
    touched = {name: [v for key, v in chosen.where if key == name] for name in TOUCHED}
    way = chosen.way or WANTED[chosen.measure]
    note_change(
        folder, changed_on=chosen.on, what=chosen.what, measure=chosen.measure, way=way, **touched
    )
    say(f"noted: {chosen.what}; ohmhours changes says whether it works")
    return 0


def _target(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    if chosen.remove:
        remove_target(folder, chosen.measure)
        say(f"removed: the target of {chosen.measure}")
        return 0
    if chosen.value is None or chosen.by is None:
        chosen.parser.error("wanted PERCENT and DATE, as in: target first_time_fix 75 2026-12-31")
    note_target(folder, measure=chosen.measure, value=chosen.value, by=chosen.by)
    say(f"set: {NAMES[chosen.measure].lower()} {chosen.value:.0%} by {chosen.by}")
    return 0
