"""Columns of a table: a head, and how text/format.py writes the values; numbers sort as numbers."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.text import format as words

MOST_WRITTEN = 2_000  # rows: longer lists are shown with thousands by the browser


@dataclass(frozen=True)
class Column:
    """One column: its head, how a value is written (None: as it is), help."""

    head: str
    write: Callable[[Any], str] | None = None
    help: str | None = None

    @property
    def config(self) -> Any:
        return st.column_config.Column(self.head, help=self.help)


Columns = Mapping[str, Column | Any]


def text(head: str, **options: Any) -> Column:
    return Column(head, **options)


def count(head: str, digits: int = 0, unit: str = "", **options: Any) -> Column:
    return Column(head, lambda value: words.number(value, digits, unit), **options)


def percent(head: str, **options: Any) -> Column:
    return Column(head, words.percent, **options)


def minutes(head: str, **options: Any) -> Column:
    return Column(head, words.minutes, **options)


def day(head: str, **options: Any) -> Column:
    return Column(head, words.day, **options)


def money(
    head: str, currency: str | None, *, is_unit_price: bool = False, **options: Any
) -> Column:
    def write(value: float | None) -> str:
        return words.money(value, currency, is_unit_price=is_unit_price)

    return Column(head, write, **options)


def shown(frame: pd.DataFrame, columns: Columns) -> tuple[Any, dict[str, Any]]:
    """Return what st.dataframe draws, and its column_config: values as format.py writes them."""
    picked = frame[list(columns)].reset_index(drop=True)
    config = {name: c.config if isinstance(c, Column) else c for name, c in columns.items()}
    writers: dict[Any, Any] = {
        n: c.write for n, c in columns.items() if isinstance(c, Column) and c.write
    }
    if not writers or len(picked) > MOST_WRITTEN:
        return picked, config
    return picked.style.format(writers), config


def written(frame: pd.DataFrame, columns: Columns) -> pd.DataFrame:
    """Return the table as it is shown: heads in words, every value as text."""
    return pd.DataFrame(
        {
            c.head: frame[name].map(c.write) if c.write else frame[name]
            for name, c in columns.items()
            if isinstance(c, Column)
        }
    )
