"""The habits and words of a mapping, kept beside the rows that it named."""

from dataclasses import astuple

import duckdb

from etl.mapping.accepted_words import AcceptedWord, check_words
from etl.mapping.mapping import Mapping


def store_mapping(connection: duckdb.DuckDBPyConnection, mapping: Mapping) -> None:
    """Keep the mapping's habits and words; they count for every row that it ever named."""
    connection.execute("DELETE FROM raw.words WHERE mapping = $name", {"name": mapping.name})
    connection.execute(
        "INSERT OR REPLACE INTO raw.mappings VALUES ($name, $title, $date_order, $decimal_sign, "
        "$currency, $time_zone, $fold_case, $own_kinds)",
        {
            "name": mapping.name,
            "title": mapping.title or mapping.name,
            "date_order": mapping.date_order,
            "decimal_sign": mapping.decimal,
            "currency": mapping.currency,
            "time_zone": mapping.time_zone,
            "fold_case": mapping.fold_case,
            "own_kinds": mapping.own_kinds,
        },
    )
    words = [
        AcceptedWord(mapping.name, field, word, meaning)
        for field, table in mapping.words.items()
        for word, meaning in table.items()
    ]
    check_words(
        word for word in words if not (mapping.own_kinds and word.field == "appliance_kind")
    )
    for word in words:
        connection.execute("INSERT INTO raw.words VALUES (?, ?, ?, ?)", astuple(word))
