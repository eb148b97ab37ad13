"""How one table of files is read, as a form: files, columns, constants, units, readings."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.text.escape_markdown import verbatim
from etl.mapping.accepted_words import SOURCES, known_ids
from etl.mapping.fields import fields_of
from etl.mapping.mapping import TableMapping
from etl.mapping.schema import TIME_FIELDS
from etl.mapping.time_unit import time_unit

HEADER_ROW = "_header_row"
UNITS = {"": "every cell says it", "minutes": "minutes", "hours": "hours"}
QUANTITIES = {
    "": "pieces, or what the unit of the line says",
    "hours": "hours",
    "minutes": "minutes",
}


def table_form(headers: Sequence[str], table: TableMapping, key: str) -> TableMapping:
    """Let the reader say which column is which field, and all else that a table may say."""
    columns = _columns(headers, table, key)
    made = _makes_numbers(columns, table, key)
    constants = _constants(columns, table, made, key)
    units = _units(columns, table, key)
    with st.popover("More about this table"):
        files = st.text_input(
            "Files (a name, or a pattern such as jobs*.csv; several with ;)",
            "; ".join(table.files),
            key=f"{key}_files",
        )
        sheet = st.text_input("Sheet (empty: any)", table.sheet or "", key=f"{key}_sheet")
        first_of = _first_of(columns, table, key)
        readings = _readings(headers, columns, table, key)
    return replace(
        table,
        files=tuple(f.strip() for f in files.split(";") if f.strip()) or table.files,
        sheet=sheet.strip() or None,
        columns={f: hs for f, hs in columns.items() if f not in first_of},
        first_of=first_of,
        constants=constants,
        units=units,
        readings=readings,
        make_job_number=made,
    )


def header_row_input(value: int | None, key: str) -> int | None:
    """Let the reader give the row of the header; empty: the reader of files finds it."""
    return st.number_input(
        "Row of the header (empty: found by itself)",
        min_value=1,
        max_value=1000,
        value=value,
        placeholder="found by itself",
        key=f"{key}{HEADER_ROW}",
    )


def lacking(table: TableMapping) -> list[str]:
    """List what is required of a table and not given, in the words of the form."""
    given = {*table.columns, *table.first_of, *table.constants}
    given |= {"job_id"} if table.make_job_number else set()
    return [
        field.meaning
        for name, field in fields_of(table.table).items()
        if field.is_required and name not in given
    ]


def field_label(table: str, name: str) -> str:
    """Write a field with its meaning and whether it is required."""
    field = fields_of(table)[name]
    return f"{field.meaning}{' (required)' if field.is_required else ''}"


def _columns(headers: Sequence[str], table: TableMapping, key: str) -> dict[str, tuple[str, ...]]:
    given = {**table.columns, **table.first_of}
    fields = list(fields_of(table.table))
    columns: dict[str, tuple[str, ...]] = {}
    grid = st.columns(3)
    for place, header in enumerate(headers):
        chosen = grid[place % 3].multiselect(
            verbatim(header),
            fields,
            default=[name for name, names in given.items() if header in names],
            format_func=lambda name: field_label(table.table, name),
            placeholder="not used",
            key=f"{key}_{place}",
        )
        for name in chosen:
            columns[name] = (*columns.get(name, ()), header)
    return columns


def _makes_numbers(columns: dict[str, Any], table: TableMapping, key: str) -> bool:
    """Offer to make job numbers where no column has them."""
    if table.table != "jobs" or "job_id" in columns:
        return False
    if not {"opened_on", "customer"} <= set(columns):
        return False
    return st.checkbox(
        "No column has a job number: make one of the day and the customer",
        table.make_job_number,
        key=f"{key}_made",
    )


def _constants(
    columns: dict[str, Any], table: TableMapping, made: bool, key: str
) -> dict[str, str]:
    """Ask for what is required and in no column, once for all rows."""
    constants = {f: v for f, v in table.constants.items() if f not in columns}
    for name, field in fields_of(table.table).items():
        if name in columns or not (field.is_required or name in constants):
            continue
        if name == "job_id":
            continue
        label, value = f"In all rows: {field.meaning}", constants.get(name, "")
        if name in SOURCES:
            ids = ["", *sorted({*known_ids(name), *([value] if value else [])})]
            value = st.selectbox(
                label, ids, ids.index(value), format_func=_words, key=f"{key}_constant_{name}"
            )
        else:
            value = st.text_input(label, value, key=f"{key}_constant_{name}")
        constants[name] = value.strip()
    return {name: value for name, value in constants.items() if value}


def _words(id_: str) -> str:
    return id_.replace("_", " ") or "choose the column above, or one answer for all rows"


def _units(columns: dict[str, Any], table: TableMapping, key: str) -> dict[str, str]:
    """Ask for the unit of each time whose header does not say it."""
    units: dict[str, str] = {}
    for name in TIME_FIELDS:
        if name in columns and not time_unit(columns[name]):
            unit = st.selectbox(
                verbatim(f"{columns[name][0]}: a bare number means"),
                UNITS,
                list(UNITS).index(table.units.get(name, "")),
                format_func=UNITS.__getitem__,
                key=f"{key}_unit_{name}",
            )
            units |= {name: unit} if unit else {}
    return units | _labor_quantity(columns, table, key)


def _labor_quantity(columns: dict[str, Any], table: TableMapping, key: str) -> dict[str, str]:
    """Ask whether the quantity of labor lines is their time."""
    if "line_quantity" not in columns:
        return {}
    unit = st.selectbox(
        verbatim(f"{columns['line_quantity'][0]}: on labor lines it counts"),
        QUANTITIES,
        list(QUANTITIES).index(table.units.get("line_quantity", "")),
        format_func=QUANTITIES.__getitem__,
        key=f"{key}_unit_line_quantity",
    )
    return {"line_quantity": unit} if unit else {}


def _first_of(columns: dict[str, Any], table: TableMapping, key: str) -> dict[str, tuple[str, ...]]:
    """Ask for each field of several columns whether they are joined or the first is taken."""
    return {
        name: headers
        for name, headers in columns.items()
        if len(headers) > 1
        and st.checkbox(
            verbatim(f"{', '.join(headers)}: take the first that a file has, do not join them"),
            name in table.first_of,
            key=f"{key}_first_{name}",
        )
    }


def _readings(
    headers: Sequence[str], columns: dict[str, Any], table: TableMapping, key: str
) -> dict[str, str]:
    """Let columns of jobs be readings of a test point, which is named by any of its words."""
    if table.table != "jobs":
        return {}
    used = {header for names in columns.values() for header in names}
    free = [header for header in headers if header not in used or header in table.readings]
    st.caption("Readings in columns of their own")
    rows = pd.DataFrame(list(table.readings.items()), columns=["Column", "Test point"], dtype=str)
    edited = st.data_editor(
        rows,
        key=f"{key}_readings",
        num_rows="dynamic",
        hide_index=True,
        column_config={"Column": st.column_config.SelectboxColumn(options=free)},
    )
    pairs = zip(edited["Column"], edited["Test point"], strict=True)
    return {column: point for column, point in pairs if column and point}
