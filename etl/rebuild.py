"""The same raw rows under another meaning: accepted words, a changed mapping → a new version."""

from collections.abc import Callable, Sequence
from contextlib import closing
from functools import partial
from pathlib import Path

import duckdb

from etl.cancellation import stoppable
from etl.folder import publish
from etl.folder.shop_key import matching_key
from etl.mapping.accepted_words import AcceptedWord, check_words
from etl.mapping.mapping import Mapping
from etl.new_file import opened, with_fingerprint
from etl.raw.own_limits import land_shop_tables
from etl.raw.reread import apply, effect
from etl.raw.store import LoadError, copy_raw, store_accepted, withdraw_accepted
from etl.steps import build_core


def accept_words(
    folder: Path,
    words: Sequence[AcceptedWord],
    settings: dict[str, str] | None = None,
    before_publish: Callable[[], object] = lambda: None,
    withdrawn: Sequence[AcceptedWord] = (),
) -> None:
    """Give words a meaning, rebuild and publish: it counts for every row that was ever loaded.

    `withdrawn` are words that lose the meaning they were given; their id does not matter.

    `before_publish` runs when the new version is complete; what it raises prevents the publish.
    Raises MappingError for an unknown field or id, LoadError when nothing was loaded yet.
    """
    check_words(words)

    def change(connection: duckdb.DuckDBPyConnection) -> None:
        store_accepted(connection, words)
        withdraw_accepted(connection, withdrawn)

    _rebuild(folder, settings, change, before_publish)


def reread_stored(
    folder: Path,
    mapping: Mapping,
    settings: dict[str, str] | None = None,
    before_publish: Callable[[], object] = lambda: None,
) -> None:
    """Read the stored rows of a mapping's name by its present habits, words and numbering.

    Raises MappingError for an unknown word, LoadError when nothing was loaded yet.
    """
    _rebuild(folder, settings, lambda connection: apply(connection, mapping), before_publish)


def would_change(folder: Path, mapping: Mapping, settings: dict[str, str] | None = None) -> str:
    """Say what reread_stored would change, "" for nothing; nothing is published."""
    previous = publish.current(folder)
    if previous is None:
        return ""
    chosen = with_fingerprint(settings, matching_key(folder))
    return effect(previous, folder, [mapping], partial(build_core, settings=chosen))


def _rebuild(
    folder: Path,
    settings: dict[str, str] | None,
    change: Callable[[duckdb.DuckDBPyConnection], None],
    before_publish: Callable[[], object],
) -> None:
    """Publish a version of the same raw rows, after a change of what they mean."""
    with stoppable(folder), publish.only_writer(folder), publish.building(folder) as target:
        if publish.current(folder) is None:
            raise LoadError(f"{folder}: nothing was loaded yet; run ohmhours load PATH first")
        with closing(opened(target)) as connection:
            copy_raw(connection, publish.current(folder))
            change(connection)
            land_shop_tables(connection, folder)
            build_core(connection, with_fingerprint(settings, matching_key(folder)))
            connection.execute("CHECKPOINT")
        before_publish()
