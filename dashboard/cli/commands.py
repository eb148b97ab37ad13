"""What each command does; the command line itself is in cli.py."""

import argparse
import json
import sys
from collections.abc import Callable
from functools import partial
from importlib.resources import as_file, files
from pathlib import Path

from platformdirs import user_data_path

from dashboard import measures
from dashboard.cli.argument_types import filters_of
from dashboard.cli.html_or_pdf import check_paper, write_paper
from dashboard.cli.proposals import proposals_text
from dashboard.cli.terminal import say, show_step
from dashboard.database.query import parameters_of, records
from dashboard.database.snapshot import Snapshot, take
from dashboard.database.temperature_unit import use_units
from dashboard.errors import UserError
from dashboard.job.as_text import explained
from dashboard.month.load import month_html
from dashboard.notes.sample import note_sample
from dashboard.pricing.profit_groups import BRAND
from dashboard.server import launch as serve
from dashboard.settings.file import for_load, read_settings
from dashboard.text.csv_export import csv_text
from etl.engines.base import here, spark_at
from etl.folder.atomic_write import write_whole
from etl.load import accept_words, load
from etl.load_report import Account
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.file_name import mapping_file_name
from etl.mapping.mapping import read_mapping
from etl.quarantine import waiting_sources, write_waiting
from etl.raw.store import LoadError


def default_database(name: str = "shop") -> Path:
    """Return the user's own data folder for a database."""
    return user_data_path("ohmhours", appauthor=False) / name


def snapshot_of(chosen: argparse.Namespace) -> Snapshot:
    """Take the one snapshot of a command; its notice is printed after the command."""
    snapshot = take(chosen.db or default_database())
    chosen.notice = snapshot.notice
    use_units(snapshot)
    return snapshot


def demo(chosen: argparse.Namespace) -> int:
    """Load the sample shop and open the dashboard on it."""
    folder = chosen.db or default_database("demo")
    with as_file(files("sample_data")) as sample:
        account = load([sample], folder, progress=_progress())
    note_sample(folder)
    read = sum(file.read for file in account.files)
    say(f"The invented sample shop is loaded: {read:,} rows, in {folder}")
    return serve.run(folder, chosen.host, chosen.port, opens_browser=not chosen.no_browser)


def load_records(chosen: argparse.Namespace) -> int:
    """Load exports, or check what would become of them."""
    if chosen.inbox is not None:
        return _of_inbox(chosen)
    if not chosen.paths:
        chosen.parser.error("wanted PATH, or --inbox FOLDER")
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
            allows_fewer=chosen.allow_fewer,
            allows_missing=chosen.allow_missing,
            stored_rows=chosen.stored_rows,
            progress=_progress(),
            engine=spark_at(chosen.master) if chosen.engine == "spark" else here,
        )
    except LoadError:
        if chosen.check and mapping is None:
            say(proposals_text(chosen.paths, chosen.db))
        raise
    if chosen.json:
        say(json.dumps(account.as_json(), indent=2, ensure_ascii=False))
    else:
        say(account_text(account))
        say("Checked; nothing was published." if chosen.check else f"Published in {folder}.")
    if mapping and not chosen.check:
        _keep_mapping(chosen.mapping, folder / "mappings" / mapping_file_name(mapping.name))
    return 0


def _of_inbox(chosen: argparse.Namespace) -> int:
    from dashboard.cli.inbox_command import load_inbox  # it needs the default database of this file

    others = (
        "mapping",
        "check",
        "strict",
        "accept_spelling",
        "allow_fewer",
        "allow_missing",
        "json",
    )
    if chosen.paths or any(getattr(chosen, name) for name in others):
        chosen.parser.error("--inbox takes no PATH and no other option of load but --db")
    return load_inbox(chosen)


def _keep_mapping(named: Path, kept: Path) -> None:
    """Keep the mapping of a load as the user wrote it: later files of this source need no name."""
    if named.resolve() != kept.resolve():
        kept.parent.mkdir(exist_ok=True)
        write_whole(kept, named.read_bytes())


def quarantine(chosen: argparse.Namespace) -> int:
    """Say what waits, and write it out to be corrected."""
    ask = partial(records, snapshot_of(chosen))
    sources = waiting_sources(ask)
    if not sources:
        say("nothing waits in quarantine")
    for source in sources:
        sheet = f" [{source.sheet}]" if source.sheet else ""
        waiting = f"{source.file}{sheet}: {source.count:,} rows of {source.table} wait"
        say(waiting)
    if chosen.out:
        for path in write_waiting(ask, chosen.out):
            say(f"written: {path}")
    return 0


def accept_word(chosen: argparse.Namespace) -> int:
    """Give a word a meaning for all history, or take it back."""
    folder = chosen.db or default_database()
    settings = for_load(read_settings(folder))
    word = AcceptedWord(chosen.mapping, chosen.field, chosen.word, chosen.id or "")
    if chosen.undo:
        accept_words(folder, [], settings, withdrawn=[word])
        say(f'"{chosen.word}" means itself again in everything that {chosen.mapping} names.')
        return 0
    accept_words(folder, [word], settings)
    say(f'"{chosen.word}" now means {chosen.id} in everything that {chosen.mapping} names.')
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
        if file.missing:
            text.append(f"  {file.file}: {file.missing}: not in this file")
        if file.unmapped:
            text.append(f"  {file.file}: columns not used: {file.unmapped}")
        text += [f"  {file.file}: {note}" for note in file.notes]
    text += [f"To decide: {message}" for _, message in account.asked]
    if account.carried:
        text.append(account.carried)
    if account.unclaimed:
        text.append("Not claimed by any mapping: " + ", ".join(account.unclaimed))
    for field, kind, word, rows in account.unknown_words[:10]:
        text.append(
            f"  {rows:,} rows say {word!r} ({field}{', ' + kind if kind else ''}): not known"
        )
    return "\n".join(text)


def _progress() -> Callable[[str], None]:
    """Return a function that shows the step in place when standard error is a terminal."""
    return show_step if sys.stderr.isatty() else lambda step: None


def dashboard(chosen: argparse.Namespace) -> int:
    """Open the pages."""
    folder = chosen.db or default_database()
    return serve.run(folder, chosen.host, chosen.port, opens_browser=not chosen.no_browser)


def report(chosen: argparse.Namespace) -> int:
    """Write the month as a file."""
    check_paper(chosen.out, "a month")
    write_paper(chosen.out, month_html(snapshot_of(chosen), chosen.month))
    return 0


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


def explain(chosen: argparse.Namespace) -> int:
    """Print everything that the records say of one job."""
    say(explained(snapshot_of(chosen), chosen.job_id))
    return 0
