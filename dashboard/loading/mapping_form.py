"""A source as a form: its name, how it writes, and whose job numbers it has."""

from collections.abc import Sequence
from dataclasses import replace
from zoneinfo import available_timezones

import streamlit as st

from dashboard.text.escape_markdown import verbatim
from etl.mapping.file_name import free_name
from etl.mapping.mapping import Mapping

ORDERS = {
    "": "2026-03-04 (ISO), or months in words",
    "MDY": "month first: 03/04/2026 is March 4",
    "DMY": "day first: 03/04/2026 is April 3",
    "YMD": "year first: 2026/03/04 is March 4",
}
DECIMALS = {".": "point: 1,234.50", ",": "comma: 1.234,50"}


def habits_form(mapping: Mapping, taken: Sequence[str], key: str) -> Mapping:
    """Let the reader change all of a mapping but its tables and words.

    `taken` are names of other sources.
    """
    left, middle, right = st.columns(3)
    typed = left.text_input("Name of this source", mapping.name, key=f"{key}_name").strip()
    name = free_name(typed or mapping.name, taken)
    if name != typed:
        left.caption(verbatim(f"{typed or mapping.name} is taken; this source is kept as {name}."))
    order = middle.selectbox(
        "Dates are written",
        ORDERS,
        list(ORDERS).index(mapping.date_order),
        format_func=ORDERS.__getitem__,
        key=f"{key}_order",
    )
    decimal = right.selectbox(
        "Decimal sign",
        DECIMALS,
        list(DECIMALS).index(mapping.decimal),
        format_func=DECIMALS.__getitem__,
        key=f"{key}_decimal",
    )
    with st.popover("More about this source"):
        return _rest(replace(mapping, name=name, date_order=order, decimal=decimal), key)


def _rest(mapping: Mapping, key: str) -> Mapping:
    """Let the reader change what seldom needs it."""
    zones = sorted({*available_timezones(), mapping.time_zone})
    return replace(
        mapping,
        title=st.text_input("Title", mapping.title, key=f"{key}_title"),
        numbering=st.text_input(
            "Job numbers are shared with (empty: with no other source)",
            mapping.numbering,
            help="Sources with one word here share their job numbers: job 1 of both is one job.",
            key=f"{key}_numbering",
        ),
        currency=st.text_input(
            "Currency (ISO 4217, such as USD)", mapping.currency, key=f"{key}_currency"
        ),
        time_zone=st.selectbox(
            "Time zone", zones, zones.index(mapping.time_zone), key=f"{key}_zone"
        ),
        fold_case=st.checkbox(
            "Capital and small letters of units mean the same (10K is 10k)",
            mapping.fold_case,
            key=f"{key}_fold",
        ),
        own_kinds=st.checkbox(
            "Each kind of appliance of this source is a kind of its own",
            mapping.own_kinds,
            key=f"{key}_kinds",
        ),
    )
