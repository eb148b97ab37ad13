"""The command `measure`: the same numbers that the pages show."""

import argparse
from typing import Any

from dashboard import measures
from dashboard.cli.argument_types import add_filters, filters_of
from dashboard.cli.shop import snapshot_of
from dashboard.cli.terminal import say
from dashboard.database.query import parameters_of
from dashboard.errors import UserError
from dashboard.evidence.patterns import PATTERNS
from dashboard.filters import GROUPS
from dashboard.pricing.profit_groups import BRAND
from dashboard.text.csv_export import csv_text


def add_measure(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "measure",
        parents=[common],
        help="print a measure, the same that its page shows",
        epilog="example: ohmhours measure first_time_fix --by technician --from 2026-01-01",
    )
    command.add_argument(
        "name", choices=measures.MEASURES, metavar="NAME", help=", ".join(measures.MEASURES)
    )
    command.add_argument(
        "--pattern",
        choices=PATTERNS,
        metavar="NAME",
        help="of misdiagnosis: " + ", ".join(PATTERNS),
    )
    command.add_argument(
        "--by",
        choices=(*GROUPS, BRAND),
        metavar="COLUMN",
        help=", ".join(GROUPS) + f"; of profit_per_hour also {BRAND}",
    )
    add_filters(command)
    command.add_argument(
        "--format", choices=("table", "csv", "json"), default="table", help="how to print it"
    )
    command.set_defaults(run=measure)


def measure(chosen: argparse.Namespace) -> int:
    """Print a measure."""
    if chosen.pattern and "pattern" not in parameters_of(f"measures/{chosen.name}"):
        raise UserError(
            f"--pattern: {chosen.name} has no patterns; leave it out, or ask misdiagnosis"
        )
    if chosen.by == BRAND and chosen.name != "profit_per_hour":
        raise UserError(f"--by {BRAND}: only profit_per_hour is counted by brand; choose another")
    table = measures.measure(
        snapshot_of(chosen),
        chosen.name,
        filters_of(chosen),
        group_by=chosen.by,
        pattern=chosen.pattern,
    )
    if chosen.format == "csv":
        say(csv_text(table), end="")
    elif chosen.format == "json":
        say(table.to_json(orient="records", date_format="iso", indent=2, force_ascii=False))
    elif table.empty:
        say("no rows: no job is in this filter")
    else:
        say(table.to_string(index=False, na_rep="–", float_format="{:.4g}".format))
    return 0
