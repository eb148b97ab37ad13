"""Files → one DuckDB file: land raw rows, run the steps in order, check the account, publish."""

import tempfile
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import duckdb

import sql
from etl import incremental as added
from etl.cancellation import stoppable
from etl.confirmations import Questions, fewer_jobs, missing_columns
from etl.engines.base import OpensEngine, here
from etl.folder import publish
from etl.folder.shop_key import matching_key
from etl.load_report import Account, account_of, with_notes
from etl.mapping.accepted_words import AcceptedWord
from etl.mapping.mapping import Mapping
from etl.mapping.match import Claim, claims_of
from etl.new_file import opened, with_fingerprint
from etl.raw.carry_over import keep_old_schema
from etl.raw.own_limits import land_shop_tables
from etl.raw.reread import apply, effect, is_changed, keep
from etl.raw.store import (
    LoadError,
    copy_raw,
    land_all,
    next_source,
    store_accepted,
)
from etl.read import expand
from etl.steps import build_core, written_settings


@dataclass(frozen=True)
class LoadOptions:
    """How to load: under which mapping and settings, and what to refuse or accept."""

    mapping: Mapping | None = None
    settings: dict[str, str] | None = None
    is_check: bool = False
    is_strict: bool = False
    accepts_spelling: bool = False
    today: date | None = None
    progress: Callable[[str], None] = lambda step: None
    engine: OpensEngine = here
    allows_fewer: bool = False
    allows_missing: bool = False
    stored_rows: str = "ask"  # of a changed mapping: ask, reread or keep


def load(paths: Sequence[str | Path], folder: Path, **options: Any) -> Account:
    """Load the files into the database folder and publish the new version.

    `options` are the fields of LoadOptions. With `is_check` everything is done but publishing;
    with `is_strict` a row in quarantine is an error; with `accepts_spelling` unknown words take the
    meaning of the closest known spelling. A load asks before it leaves fewer jobs than there are
    (`allows_fewer`), takes a file that lacks the ground of a measure (`allows_missing`) or changes
    stored rows (`stored_rows`); a check says in its account what a load would ask.
    Returns the account of this load's files. Raises LoadError (Question where it asks),
    MappingError, etl.read.UnreadableFile or publish.PublishError, and Stopped on an interrupt;
    then the last version stays as it was.
    """
    chosen = LoadOptions(**options)
    if chosen.is_check:
        with stoppable(folder), tempfile.TemporaryDirectory() as scratch:
            home = folder if folder.exists() else Path(scratch)
            account = _build(Path(scratch) / "check.duckdb", paths, home, chosen)
            return replace(account, published=False)
    with stoppable(folder), publish.only_writer(folder), publish.building(folder) as target:
        return _build(target, paths, folder, chosen)


def _build(target: Path, paths: Sequence[str | Path], folder: Path, chosen: LoadOptions) -> Account:
    claims, unclaimed = claims_of(
        expand(paths), chosen.mapping, folder / "mappings", chosen.progress
    )
    if not claims:
        names = ", ".join(unclaimed) or "nothing was found"
        raise LoadError(
            f"no file that a mapping or our own names claim: {names}; "
            "ohmhours load --check FILE proposes a mapping"
        )
    key, previous = matching_key(folder), publish.current(folder)
    chosen = replace(chosen, settings=with_fingerprint(chosen.settings, key))
    questions = Questions(chosen.is_check)
    for message in missing_columns(claims):
        questions.ask("allows_missing", message, chosen.allows_missing)
    adds = added.begin_with(previous, target, written_settings(chosen.settings))
    with closing(opened(target)) as connection:
        if not adds:
            copy_raw(connection, previous)
        _decide_stored_rows(connection, claims, previous, folder, chosen, questions)
        first_new = next_source(connection)
        load_no, repeated = land_all(connection, claims, key, chosen.today, previous)
        # compressed, so that an expression runs once per distinct text
        connection.execute("CHECKPOINT")
        build = partial(build_core, settings=chosen.settings or {}, progress=chosen.progress)
        if not (
            adds and previous and added.add_touched(connection, previous, folder, first_new, build)
        ):
            _rebuild_all(connection, folder, chosen)
        if chosen.accepts_spelling:
            _accept_spelling(connection, folder, chosen)
        account = with_notes(account_of(connection, load_no, repeated, unclaimed), claims)
        account.check_balance()
        if fewer := fewer_jobs(connection, previous):
            questions.ask("allows_fewer", fewer, chosen.allows_fewer)
        carried = "" if chosen.is_check else keep_old_schema(previous)
        account = replace(account, asked=tuple(questions.asked), carried=carried)
        if chosen.is_strict and account.quarantined:
            raise LoadError(
                f"{account.quarantined:,} rows would go to quarantine and --strict was asked for; "
                "ohmhours load --check lists the reasons; nothing was published"
            )
        connection.execute("CHECKPOINT")
        return account


def _decide_stored_rows(
    connection: duckdb.DuckDBPyConnection,
    claims: list[Claim],
    previous: Path | None,
    folder: Path,
    chosen: LoadOptions,
    questions: Questions,
) -> None:
    """Read the stored rows of a changed mapping by it, keep their own for them, or ask which."""
    claimed = {claim.mapping.name: claim.mapping for claim in claims}.values()
    changed = [mapping for mapping in claimed if is_changed(connection, mapping)]
    if previous is None or not changed:
        return
    build = partial(build_core, settings=chosen.settings or {}, progress=chosen.progress)
    if message := effect(previous, folder, changed, build):
        questions.ask("stored_rows", message, chosen.stored_rows != "ask")
    for mapping in changed:
        if chosen.stored_rows == "keep":
            keep(connection, mapping.name)
        else:
            apply(connection, mapping)


def _rebuild_all(connection: duckdb.DuckDBPyConnection, folder: Path, chosen: LoadOptions) -> None:
    """Build everything from the raw tables of `whole`, whatever was built from them before."""
    connection.execute("USE whole")
    connection.execute(sql.text("incremental/rebuild"))
    land_shop_tables(connection, folder)
    build_core(connection, chosen.settings or {}, chosen.progress, chosen.engine)


def _accept_spelling(
    connection: duckdb.DuckDBPyConnection, folder: Path, chosen: LoadOptions
) -> None:
    rows = connection.execute(sql.text("pages/unknown_words")).fetchall()
    words = [
        AcceptedWord(mapping, field, text, suggestion)
        for field, _, text, _, mapping, suggestion, *_ in rows
        if suggestion
    ]
    if words:
        store_accepted(connection, words)
        _rebuild_all(connection, folder, chosen)
