"""The shop that a command works on."""

import argparse
from pathlib import Path

from platformdirs import user_data_path

from dashboard.database.snapshot import Snapshot, take
from dashboard.database.temperature_unit import use_units


def default_database(name: str = "shop") -> Path:
    """Return the user's own data folder for a database."""
    return user_data_path("ohmhours", appauthor=False) / name


def snapshot_of(chosen: argparse.Namespace) -> Snapshot:
    """Take the one snapshot of a command; its notice is printed after the command."""
    snapshot = take(chosen.db or default_database())
    chosen.notice = snapshot.notice
    use_units(snapshot)
    return snapshot
