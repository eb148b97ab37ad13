"""The command `load`: read exports, or check what would become of them."""

import argparse
import json
from pathlib import Path
from typing import Any

from dashboard.cli.account_text import account_text
from dashboard.cli.argument_types import path
from dashboard.cli.inbox_command import load_inbox
from dashboard.cli.proposals import proposals_text
from dashboard.cli.shop import default_database
from dashboard.cli.terminal import progress, say
from dashboard.settings.file import for_load, read_settings
from etl.engines.base import here, spark_at
from etl.folder.atomic_write import write_whole
from etl.load import load
from etl.mapping.file_name import mapping_file_name
from etl.mapping.mapping import read_mapping
from etl.raw.store import LoadError


def add_load(added: "argparse._SubParsersAction[Any]", common: argparse.ArgumentParser) -> None:
    """Add the command."""
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
    command.set_defaults(run=load_records, parser=command)


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
            progress=progress(),
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
