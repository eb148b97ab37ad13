"""The canonical fields of the four tables, as sql/lookups/fields.csv lists them."""

import re
from dataclasses import dataclass
from functools import cache
from typing import Literal, get_args

import sql

TableName = Literal["jobs", "visits", "readings", "part_lines"]
TABLES: tuple[str, ...] = get_args(TableName)


@dataclass(frozen=True)
class Field:
    """One field of one table; a personal field never reaches the database as written."""

    table: str
    name: str
    is_required: bool
    is_personal: bool
    meaning: str
    header_words: tuple[str, ...]


@cache
def fields() -> tuple[Field, ...]:
    """Return every canonical field, in the order of the CSV."""
    return tuple(
        Field(
            table=row["table_name"],
            name=row["field"],
            is_required=row["is_required"] == "1",
            is_personal=row["is_personal"] == "1",
            meaning=row["meaning"],
            header_words=tuple(row["header_words"].split("|")),
        )
        for row in sql.lookup("fields")
    )


@cache
def fields_of(table: str) -> dict[str, Field]:
    """Return the fields of one table by name."""
    return {field.name: field for field in fields() if field.table == table}


def folded(header: str) -> str:
    """Return a header with case, punctuation and repeated blanks taken out, for matching."""
    return re.sub(r"[\W_]+", " ", header.casefold()).strip()
