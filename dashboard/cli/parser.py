"""How the commands are called."""

import argparse
from collections.abc import Sequence
from importlib.metadata import version
from typing import Any

from dashboard.cli import commands
from dashboard.cli.argument_types import add_filters, month, path, port, shown_path, text
from dashboard.cli.backup_commands import add_backup, add_restore, add_undo
from dashboard.cli.card_commands import add_card, add_talk
from dashboard.cli.name_commands import add_names
from dashboard.cli.note_commands import add_changes, add_note, add_target
from dashboard.cli.plain_parser import PlainParser
from dashboard.cli.price_command import add_prices
from dashboard.cli.print_command import add_print
from dashboard.cli.recording_command import add_recording
from dashboard.cli.schedule_command import add_schedule
from dashboard.cli.sheet_command import add_sheet
from dashboard.cli.terminal import complain
from dashboard.database.version import Damaged
from dashboard.evidence.patterns import PATTERNS
from dashboard.filters import GROUPS
from dashboard.measures import MEASURES
from dashboard.pricing.profit_groups import BRAND


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code; SystemExit on a wrong call."""
    return _run(_parser().parse_args(arguments))


def _run(chosen: argparse.Namespace) -> int:
    """Run the command; once more from the last good version when the newest turns out damaged."""
    try:
        code: int = chosen.run(chosen)
    except Damaged:
        return _run(chosen)
    if notice := getattr(chosen, "notice", None):
        complain(notice)
    return code


def _parser() -> argparse.ArgumentParser:
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--db",
        type=shown_path,
        metavar="PATH",
        help="the shop's database folder (default: the user's data folder)",
    )
    common.add_argument("--verbose", action="store_true", help="show where an error came from")
    parser = PlainParser(
        prog="ohmhours",
        description="What a small appliance-service shop can learn from its own finished repairs.",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {version('ohmhours')}")
    added = parser.add_subparsers(required=True, metavar="COMMAND")
    for add in (
        _add_demo,
        _add_load,
        _add_quarantine,
        _add_accept,
        add_names,
        _add_dashboard,
        _add_measure,
        _add_explain,
        add_sheet,
        _add_report,
        add_prices,
        add_changes,
        add_note,
        add_target,
        add_recording,
        add_card,
        add_talk,
        add_print,
        add_schedule,
        add_backup,
        add_restore,
        add_undo,
    ):
        add(added, common)
    return parser


def _add_demo(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    demo = added.add_parser(
        "demo",
        parents=[common],
        help="load the invented sample shop and open the dashboard on it",
        epilog="example: ohmhours demo --port 8600",
    )
    _add_serving(demo)
    demo.set_defaults(run=commands.demo)


def _add_serving(command: argparse.ArgumentParser) -> None:
    command.add_argument("--port", type=port, help="port (default: a free one from 8517 on)")
    command.add_argument("--host", default="127.0.0.1", help="address (default: this machine only)")
    command.add_argument("--no-browser", action="store_true", help="only print the address")


def _add_load(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    command = added.add_parser(
        "load",
        parents=[common],
        help="read exports, normalise them and publish the new version",
        epilog="example: ohmhours load exports/ --mapping our_shop.toml --check",
    )
    command.add_argument(
        "paths", nargs="*", type=path, metavar="PATH", help="files, folders or globs"
    )
    command.add_argument(
        "--inbox",
        type=path,
        metavar="FOLDER",
        help="load what is complete in it and move it to done/ or to_fix/; for a timer",
    )
    command.add_argument("--mapping", type=path, metavar="FILE", help="mapping of this source")
    command.add_argument("--check", action="store_true", help="do everything but publish")
    command.add_argument("--strict", action="store_true", help="fail when a row was quarantined")
    command.add_argument(
        "--accept-spelling",
        action="store_true",
        help="give unknown words the meaning of the closest known spelling",
    )
    command.add_argument(
        "--allow-fewer",
        action="store_true",
        help="publish although fewer jobs would be left than there are",
    )
    command.add_argument(
        "--allow-missing",
        action="store_true",
        help="load although columns that a measure rests on are not in the file",
    )
    command.add_argument(
        "--stored-rows",
        choices=("ask", "reread", "keep"),
        default="ask",
        help="of a changed mapping: read the stored rows again by it, or keep them as they are",
    )
    command.add_argument("--json", action="store_true", help="print the account as JSON")
    command.add_argument(
        "--engine",
        choices=("duckdb", "spark"),
        default="duckdb",
        help="where the load computes: this machine, or Apache Spark for 100 million jobs and more",
    )
    command.add_argument(
        "--master",
        default="local[*]",
        metavar="URL",
        help="of Spark, such as spark://HOST:7077 (default: the cores of this machine)",
    )
    command.set_defaults(run=commands.load_records, parser=command)


def _add_quarantine(
    added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser
) -> None:
    command = added.add_parser(
        "quarantine",
        parents=[common],
        help="what waits to be fixed, in the source's own columns with the reasons",
        epilog="example: ohmhours quarantine --out to_fix; correct the files, then: "
        "ohmhours load to_fix",
    )
    command.add_argument("--out", type=path, metavar="FOLDER", help="write one CSV file a source")
    command.set_defaults(run=commands.quarantine)


def _add_accept(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    command = added.add_parser(
        "accept",
        parents=[common],
        help="give an unknown word a meaning, for all that was ever loaded",
        epilog='example: ohmhours accept sample_shop_2026 symptom "frz ok box hot" warm_fresh_food',
    )
    command.add_argument(
        "mapping", type=text, metavar="MAPPING", help="the mapping whose word it is"
    )
    command.add_argument(
        "field", type=text, metavar="FIELD", help="symptom, root_cause, technician, …"
    )
    command.add_argument("word", type=text, metavar="WORD", help="the word as written")
    meaning = command.add_mutually_exclusive_group(required=True)
    meaning.add_argument(
        "id", type=text, nargs="?", metavar="ID", help="the id, or for a name the name, it means"
    )
    meaning.add_argument("--undo", action="store_true", help="take an accepted word back")
    command.set_defaults(run=commands.accept_word)


def _add_dashboard(
    added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser
) -> None:
    command = added.add_parser(
        "dashboard",
        parents=[common],
        help="open the pages",
        epilog="example: ohmhours dashboard --db ~/shop",
    )
    _add_serving(command)
    command.set_defaults(run=commands.dashboard)


def _add_measure(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    command = added.add_parser(
        "measure",
        parents=[common],
        help="print a measure, the same that its page shows",
        epilog="example: ohmhours measure first_time_fix --by technician --from 2026-01-01",
    )
    command.add_argument("name", choices=MEASURES, metavar="NAME", help=", ".join(MEASURES))
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
    command.set_defaults(run=commands.measure)


def _add_explain(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    command = added.add_parser(
        "explain",
        parents=[common],
        help="all that the records say of one job: visits, readings, parts, callbacks, patterns",
        epilog="example: ohmhours explain 20418",
    )
    command.add_argument(
        "job_id", type=text, metavar="JOB_ID", help="the job's number as the shop wrote it"
    )
    command.set_defaults(run=commands.explain)


def _add_report(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
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
    command.set_defaults(run=commands.report)
