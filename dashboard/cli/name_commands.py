"""The command names: which spellings may be one technician, branch, brand, model or supplier."""

import argparse
import shlex
from typing import Any

from dashboard.cli.shop import snapshot_of
from dashboard.cli.terminal import say
from dashboard.database.query import records
from etl.mapping.spellings import proposed_names


def add_names(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command names."""
    command = added.add_parser(
        "names",
        parents=[common],
        help="list spellings that may be one technician, branch, brand, model or supplier",
        epilog="example: ohmhours names; each line ends with the command that joins or separates",
    )
    command.set_defaults(run=_names)


def _names(chosen: argparse.Namespace) -> int:
    snapshot = snapshot_of(chosen)
    joined = list(records(snapshot, "pages/joined_names"))
    for row in joined:
        undo = _command(row["mapping"], row["field"], row["spelling"], "--undo")
        how = f"undo: {undo}" if row["is_accepted"] else f"by the mapping {row['mapping']}"
        say(f'{row["field"]}: "{row["spelling"]}" is joined to "{row["name"]}"; {how}')
    proposed = proposed_names(records(snapshot, "pages/written_names"))
    for mapping, field, same in proposed:
        command = _command(mapping, field, same.spelling, same.name)
        say(f'{field}: "{same.spelling}" may be "{same.name}"; join: {command}')
    say(f"{len(joined):,} spellings are joined, {len(proposed):,} more may be.")
    return 0


def _command(mapping: str, field: str, *rest: str) -> str:
    return shlex.join(["ohmhours", "accept", mapping, field, *rest])
