"""The command `explain`: everything that the records say of one job."""

import argparse
from typing import Any

from dashboard.cli.argument_types import text
from dashboard.cli.shop import snapshot_of
from dashboard.cli.terminal import say
from dashboard.job.as_text import explained


def add_explain(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
    command = added.add_parser(
        "explain",
        parents=[common],
        help="all that the records say of one job: visits, readings, parts, callbacks, patterns",
        epilog="example: ohmhours explain 20418",
    )
    command.add_argument(
        "job_id", type=text, metavar="JOB_ID", help="the job's number as the shop wrote it"
    )
    command.set_defaults(run=explain)


def explain(chosen: argparse.Namespace) -> int:
    """Print everything that the records say of one job."""
    say(explained(snapshot_of(chosen), chosen.job_id))
    return 0
