"""The habits and words of a mapping, kept with the rows that it named."""

from dataclasses import astuple

import duckdb

import sql
from etl.mapping.accepted_words import AcceptedWord, check_words
from etl.mapping.mapping import Mapping


def store_mapping(connection: duckdb.DuckDBPyConnection, mapping: Mapping) -> None:
    """Keep the mapping's habits and words; they count for every row that it ever named."""
    words = words_of(mapping)
    check_words(w for w in words if not (mapping.own_kinds and w.field == "appliance_kind"))
    name = {"name": mapping.name}
    habits = habits_of(mapping) | {"numbering": stored_numbering(connection, mapping)}
    connection.execute("DELETE FROM raw.words WHERE mapping = $name", name)
    connection.execute("DELETE FROM raw.mappings WHERE mapping = $name", name)
    connection.execute(
        sql.text("raw/add_mapping"), name | {"title": mapping.title or mapping.name} | habits
    )
    for word in words:
        connection.execute("INSERT INTO raw.words VALUES (?, ?, ?, ?)", astuple(word))


def habits_of(mapping: Mapping) -> dict[str, object]:
    """Return how a mapping says that its source writes, under the names of the columns."""
    return {
        "date_order": mapping.date_order,
        "decimal_sign": mapping.decimal,
        "currency": mapping.currency,
        "time_zone": mapping.time_zone,
        "fold_case": mapping.fold_case,
        "own_kinds": mapping.own_kinds,
    }


def words_of(mapping: Mapping) -> list[AcceptedWord]:
    """Return the words of a mapping."""
    return [
        AcceptedWord(mapping.name, field, word, meaning)
        for field, table in mapping.words.items()
        for word, meaning in table.items()
    ]


def stored_numbering(connection: duckdb.DuckDBPyConnection, mapping: Mapping) -> str:
    """Return whose numbers the jobs of a mapping have: what it says, what was kept, or its name."""
    if mapping.numbering:
        return mapping.own_numbering
    kept = connection.execute(
        "SELECT numbering FROM raw.mappings WHERE mapping = $name", {"name": mapping.name}
    ).fetchall()
    return (kept and kept[0][0]) or mapping.own_numbering
