"""The command line. Exit 0 when well, 1 with one line that tells why not, 2 on a wrong call."""

import argparse
import json
import os
import sys
from collections.abc import Sequence
from datetime import date
from functools import partial
from importlib.resources import as_file, files
from pathlib import Path

from platformdirs import user_data_path

from dashboard import data, pdf, serve
from dashboard.data import GROUPS, MEASURES, Filters, NoData
from dashboard.explain import explained
from dashboard.export import csv_text
from dashboard.month_page import month_html
from dashboard.month_review import month_days
from dashboard.settings import SettingsError, for_load, read_settings
from etl.account import Account, AccountError
from etl.build import accept_words, load
from etl.mapping import MappingError, read_mapping
from etl.mapping_text import mapping_text
from etl.propose import propose
from etl.publish import PublishError
from etl.quarantine import waiting, write_waiting
from etl.read import UnreadableFile, expand, read_tables
from etl.store import LoadError
from etl.words import AcceptedWord

TOLD = (
    AccountError,
    LoadError,
    MappingError,
    NoData,
    PublishError,
    SettingsError,
    UnreadableFile,
    pdf.PdfError,
    serve.ServeError,
)
FILTER_NAMES = ("branch", "technician", "appliance_kind", "symptom")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    parser = _parser()
    chosen = parser.parse_args(arguments)
    try:
        return chosen.run(chosen)
    except TOLD as problem:
        if chosen.verbose:
            raise
        print(f"ohmhours: {problem}", file=sys.stderr)
        return 1
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0


def default_database(name: str = "shop") -> Path:
    """Return the user's own data folder for a database."""
    return user_data_path("ohmhours", appauthor=False) / name


def _parser() -> argparse.ArgumentParser:
    common = argparse.ArgumentParser(add_help=False)
    common.add_argument(
        "--db",
        type=Path,
        metavar="PATH",
        help="the shop's database folder (default: the user's data folder)",
    )
    common.add_argument("--verbose", action="store_true", help="show where an error came from")
    parser = argparse.ArgumentParser(
        prog="ohmhours",
        description="What a small appliance-service shop can learn from its own finished repairs.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for add in (
        _add_demo,
        _add_load,
        _add_quarantine,
        _add_accept,
        _add_dashboard,
        _add_measure,
        _add_explain,
        _add_report,
    ):
        add(commands, common)
    return parser


def _add_demo(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    demo = commands.add_parser(
        "demo",
        parents=[common],
        help="load the invented sample shop and open the dashboard on it",
        epilog="example: ohmhours demo --port 8600",
    )
    _add_serving(demo)
    demo.set_defaults(run=_demo)


def _add_serving(command: argparse.ArgumentParser) -> None:
    command.add_argument("--port", type=int, help="port (default: a free one from 8517 on)")
    command.add_argument("--host", default="127.0.0.1", help="address (default: this machine only)")
    command.add_argument("--no-browser", action="store_true", help="only print the address")


def _add_load(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "load",
        parents=[common],
        help="read exports, normalise them and publish the new version",
        epilog="example: ohmhours load exports/ --mapping our_shop.toml --check",
    )
    command.add_argument("paths", nargs="+", metavar="PATH", help="files, folders or globs")
    command.add_argument("--mapping", type=Path, metavar="FILE", help="mapping of this source")
    command.add_argument("--check", action="store_true", help="do everything but publish")
    command.add_argument("--strict", action="store_true", help="fail when a row was quarantined")
    command.add_argument(
        "--accept-spelling",
        action="store_true",
        help="give unknown words the meaning of the closest known spelling",
    )
    command.add_argument("--json", action="store_true", help="print the account as JSON")
    command.set_defaults(run=_load)


def _add_quarantine(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "quarantine",
        parents=[common],
        help="what waits to be mended, in the source's own columns with the reasons",
        epilog="example: ohmhours quarantine --out to_mend; mend the files, then: "
        "ohmhours load to_mend",
    )
    command.add_argument("--out", type=Path, metavar="FOLDER", help="write one CSV file a source")
    command.set_defaults(run=_quarantine)


def _add_accept(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "accept",
        parents=[common],
        help="give an unknown word a meaning, for all that was ever loaded",
        epilog='example: ohmhours accept sample_shop_2026 symptom "htr wont go" no_heat',
    )
    command.add_argument("mapping", metavar="MAPPING", help="the mapping whose word it is")
    command.add_argument("field", metavar="FIELD", help="symptom, root_cause, disposition, …")
    command.add_argument("word", metavar="WORD", help="the word as written")
    command.add_argument("id", metavar="ID", help="the id that it means")
    command.set_defaults(run=_accept)


def _add_dashboard(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "dashboard",
        parents=[common],
        help="open the pages",
        epilog="example: ohmhours dashboard --db ~/shop",
    )
    _add_serving(command)
    command.set_defaults(run=_dashboard)


def _add_measure(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "measure",
        parents=[common],
        help="print a measure, the same that its page shows",
        epilog="example: ohmhours measure first_time_fix --by technician --from 2026-01-01",
    )
    command.add_argument("name", choices=MEASURES, metavar="NAME", help=", ".join(MEASURES))
    command.add_argument("--by", choices=GROUPS, metavar="COLUMN", help=", ".join(GROUPS))
    command.add_argument("--from", dest="start", type=_date, metavar="DATE", help="closed from")
    command.add_argument("--to", dest="end", type=_date, metavar="DATE", help="closed to")
    command.add_argument(
        "--where",
        action="append",
        default=[],
        type=_condition,
        metavar="COLUMN=VALUE",
        help="only these jobs; columns " + ", ".join(FILTER_NAMES) + "; may be repeated",
    )
    command.add_argument(
        "--format", choices=("table", "csv", "json"), default="table", help="how to print it"
    )
    command.set_defaults(run=_measure)


def _add_explain(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "explain",
        parents=[common],
        help="all that the records say of one job: visits, readings, parts, callbacks, patterns",
        epilog="example: ohmhours explain 20418",
    )
    command.add_argument("job_id", metavar="JOB_ID", help="the job's number as the shop wrote it")
    command.set_defaults(run=_explain)


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date like 2026-03-31") from None


def _condition(text: str) -> tuple[str, str]:
    name, found, value = text.partition("=")
    if not found or name not in FILTER_NAMES:
        raise argparse.ArgumentTypeError(
            f"{text!r}: wanted COLUMN=VALUE with one of {', '.join(FILTER_NAMES)}"
        )
    return name, value


def _add_report(commands: argparse._SubParsersAction, common: argparse.ArgumentParser) -> None:
    command = commands.add_parser(
        "report",
        parents=[common],
        help="the month in review as a file that stands alone",
        epilog="example: ohmhours report --month 2026-10 --out month.pdf",
    )
    command.add_argument("--month", required=True, type=_month, metavar="YYYY-MM")
    command.add_argument(
        "--out", required=True, type=Path, metavar="FILE", help="a .html or .pdf file"
    )
    command.set_defaults(run=_report)


def _month(text: str) -> str:
    try:
        month_days(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no month like 2026-10") from None
    return text


def _demo(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database("demo")
    with as_file(files("sample_data")) as sample:
        account = load([sample], folder, progress=_progress())
    read = sum(file.read for file in account.files)
    print(f"The invented sample shop is loaded: {read:,} rows, in {folder}")
    return serve.run(folder, chosen.host, chosen.port, opens_browser=not chosen.no_browser)


def _load(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    mapping = read_mapping(chosen.mapping) if chosen.mapping else None
    try:
        account = load(
            chosen.paths,
            folder,
            mapping=mapping,
            settings=for_load(read_settings(folder)),
            is_check=chosen.check,
            is_strict=chosen.strict,
            accepts_spelling=chosen.accept_spelling,
            progress=_progress(),
        )
    except LoadError:
        if chosen.check and mapping is None:
            print(proposals_text(chosen.paths))
        raise
    if chosen.json:
        print(json.dumps(account.as_json(), indent=2, ensure_ascii=False))
    else:
        print(account_text(account))
        print("Checked; nothing was published." if chosen.check else f"Published in {folder}.")
    return 0


def proposals_text(paths: Sequence[str]) -> str:
    """Return a proposed mapping for each table of the files, ready to save and edit."""
    parts = []
    for path in expand(paths):
        for source in read_tables(path):
            proposal = propose(source)
            remarks = {
                (proposal.table, match.field): f"{match.confidence:.2f} sure"
                for match in proposal.matches
            }
            parts.append(mapping_text(proposal.mapping(path.stem), remarks))
            if proposal.missing:
                parts.append(f"# required and not found: {', '.join(proposal.missing)}\n")
            if proposal.unmatched:
                parts.append(f"# not used: {', '.join(proposal.unmatched)}\n")
    return "\n".join(parts)


def _quarantine(chosen: argparse.Namespace) -> int:
    tables = waiting(partial(data.records, chosen.db or default_database()))
    if not tables:
        print("nothing waits in quarantine")
    for table in tables:
        sheet = f" [{table.sheet}]" if table.sheet else ""
        print(f"{table.file}{sheet}: {len(table.rows):,} rows of {table.table} wait")
    if chosen.out:
        for path in write_waiting(tables, chosen.out):
            print(f"written: {path}")
    return 0


def _accept(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    word = AcceptedWord(chosen.mapping, chosen.field, chosen.word, chosen.id)
    accept_words(folder, [word], for_load(read_settings(folder)))
    print(f'From now on "{chosen.word}" means {chosen.id} in all that {chosen.mapping} ever named.')
    return 0


def account_text(account: Account) -> str:
    """Return the account as a table: each row of each file counted once."""
    heads = ("file", "holds", "read", "loaded", "duplicate", "superseded", "quarantined")
    lines = [
        (
            file.file + (f" [{file.sheet}]" if file.sheet else ""),
            file.table,
            *(f"{n:,}" for n in (file.read, file.loaded, file.duplicate, file.superseded)),
            f"{file.quarantined:,}",
        )
        for file in account.files
    ]
    widths = [max(len(line[i]) for line in [heads, *lines]) for i in range(len(heads))]
    text = [
        "  ".join(
            cell.ljust(width) if i < 2 else cell.rjust(width)
            for i, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in [heads, *lines]
    ]
    for file in account.files:
        for code, rows in file.reasons.items():
            text.append(f"  {file.file}: {rows:,} × {code}")
        if file.unmapped:
            text.append(f"  {file.file}: columns not used: {file.unmapped}")
        text += [f"  {file.file}: {note}" for note in file.notes]
    if account.unclaimed:
        text.append("Not claimed by any mapping: " + ", ".join(account.unclaimed))
    for field, kind, word, rows in account.unknown_words[:10]:
        text.append(
            f"  {rows:,} rows say {word!r} ({field}{', ' + kind if kind else ''}): not known"
        )
    return "\n".join(text)


def _progress():
    """Return a function that shows the step in place when standard error is a terminal."""
    if not sys.stderr.isatty():
        return lambda step: None

    def show(step: str) -> None:
        sys.stderr.write(f"\r\x1b[K{step[:70]}")
        sys.stderr.flush()

    return show


def _dashboard(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    return serve.run(folder, chosen.host, chosen.port, opens_browser=not chosen.no_browser)


def _report(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    kind = chosen.out.suffix.lower()
    if kind not in (".html", ".pdf"):
        raise pdf.PdfError(f"{chosen.out}: a month is written as .html or .pdf; name one of these")
    html = month_html(folder, chosen.month)
    content = pdf.pdf_of(html) if kind == ".pdf" else html.encode("utf-8")
    try:
        chosen.out.write_bytes(content)
    except OSError as error:
        raise pdf.PdfError(f"{chosen.out}: cannot be written ({error.strerror})") from None
    print(f"written: {chosen.out}")
    return 0


def _measure(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    values = {name: tuple(v for n, v in chosen.where if n == name) for name in FILTER_NAMES}
    table = data.measure(
        folder,
        chosen.name,
        Filters(from_date=chosen.start, to_date=chosen.end, **values),
        group_by=chosen.by,
    )
    if chosen.format == "csv":
        sys.stdout.write(csv_text(table))
    elif chosen.format == "json":
        print(table.to_json(orient="records", date_format="iso", indent=2, force_ascii=False))
    elif table.empty:
        print("no rows: no job is in this filter")
    else:
        print(table.to_string(index=False, na_rep="–", float_format="{:.4g}".format))
    return 0


def _explain(chosen: argparse.Namespace) -> int:
    folder = chosen.db or default_database()
    window_days = read_settings(folder)["callback_window_days"]
    print(explained(folder, chosen.job_id, window_days))
    return 0


if __name__ == "__main__":
    sys.exit(main())
