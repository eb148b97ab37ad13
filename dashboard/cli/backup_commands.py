"""What the commands backup, restore and undo do, and how they are called."""

import argparse
from pathlib import Path
from typing import Any

from dashboard.cli.argument_types import path, shown_path
from dashboard.cli.shop import default_database
from dashboard.cli.terminal import say
from dashboard.database.snapshot import take
from dashboard.measures import measure
from dashboard.notes.changes import read_changes, read_targets
from dashboard.notes.talks import read_talks
from dashboard.pricing.approvals import read_approvals
from dashboard.settings.file import read_settings
from etl.backup import backup
from etl.restore import restore, undo

COMPARED = ("first_time_fix", "callbacks", "root_cause_mix")  # of a backup with its shop


def add_backup(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command backup."""
    command = added.add_parser(
        "backup",
        parents=[common],
        help="write the shop's database and all that belongs to it into one file",
        epilog="example: ohmhours backup shop-2026-11-25.zip; the key of the customers' hashes "
        "is in it: keep it as safe as the database",
    )
    command.add_argument("file", type=shown_path, metavar="FILE", help="the ZIP file to write")
    command.set_defaults(run=_backup)


def add_restore(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command restore."""
    command = added.add_parser(
        "restore",
        parents=[common],
        help="bring a backup back, after a check of every part",
        epilog="example: ohmhours restore shop-2026-11-25.zip --db ~/shop",
    )
    command.add_argument("file", type=path, metavar="FILE", help="what ohmhours backup wrote")
    command.add_argument(
        "--replace",
        action="store_true",
        help="also where the folder holds data: it is kept under another name",
    )
    command.set_defaults(run=_restore)


def add_undo(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command undo."""
    command = added.add_parser(
        "undo",
        parents=[common],
        help="go back to the version before the last load",
        epilog="example: ohmhours undo; again goes back one more, three versions are kept",
    )
    command.set_defaults(run=_undo)


def figures(folder: Path) -> dict[str, str]:
    """Return what a trial restore is compared by: measures and approved prices as text.

    Raises UserError for settings, prices or notes that cannot be read.
    """
    read_settings(folder)
    read_changes(folder)
    read_targets(folder)
    read_talks(folder)
    snapshot = take(folder)
    prices = {"prices": "\n".join(step.model_dump_json() for step in read_approvals(folder).steps)}
    return prices | {name: measure(snapshot, name).to_json() for name in COMPARED}


def _backup(chosen: argparse.Namespace) -> int:
    parts = backup(chosen.db or default_database(), chosen.file, figures)
    size_mb = chosen.file.stat().st_size / 1e6
    say(f"written: {chosen.file} ({size_mb:,.1f} MB: {', '.join(part.name for part in parts)})")
    say("A trial restore gave the same figures.")
    say("The key of the customers' hashes is in it: keep it as safe as the database.")
    return 0


def _restore(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    kept = restore(chosen.file, folder, replaces=chosen.replace)
    say(f"restored: {folder}")
    if kept:
        say(f"What stood there is kept in {kept}; delete it when it is not needed.")
    return 0


def _undo(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    good = undo(folder)
    say(f"{folder}: {good.name} is the published version again.")
    say("What was loaded since is not in it; its file is kept under a name with undone-.")
    return 0
