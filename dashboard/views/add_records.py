"""Add records: upload exports, see how they are understood, mend the mapping, load."""

import tempfile
from dataclasses import replace
from itertools import chain
from pathlib import Path
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading import panel as load_panel
from dashboard.loading.panel import TABLE_NAMES
from dashboard.loading.uploads import LIMITS, refusal, saved
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from etl.load_report import Account
from etl.mapping.accepted_words import known_ids
from etl.mapping.fields import TABLES, fields_of
from etl.mapping.file_name import free_name, mapping_file_name
from etl.mapping.mapping import Mapping, bundled_mappings
from etl.mapping.match import mapping_of
from etl.mapping.propose import propose
from etl.mapping.schema import TIME_FIELDS
from etl.mapping.time_unit import time_unit
from etl.mapping.toml_writer import mapping_text
from etl.read import SourceTable, read_tables

TITLE = "Add records"
NOT_USED, PREVIEW_ROWS = "– not used –", 5
ORDERS = {
    "": "only 2026-03-04 (ISO)",
    "MDY": "month first: 03/04/2026 is 4 March",
    "DMY": "day first: 03/04/2026 is 3 April",
}


def draw(page: Page) -> None:
    """Draw the page."""
    uploads = choose_files(page)
    read_them(page, uploads)


def choose_files(page: Page) -> Any:
    """Let the reader upload files; stop without any."""
    page.title(TITLE)
    st.markdown(
        "Upload the exports that your shop already has: CSV, Excel, JSON, JSON Lines or Parquet, "
        "several at once. Nothing is loaded before you have seen what would become of every row. "
        "Names, addresses, phones and serial numbers are turned into keys and never kept as "
        "written."
    )
    uploads = st.file_uploader(
        "Exports",
        accept_multiple_files=True,
        key="uploads",
        label_visibility="collapsed",
        on_change=load_panel.forget,
    )
    if not uploads:
        load_panel.show()
        st.markdown("The command `ohmhours load --check FOLDER` does the same without a browser.")
        st.stop()

    if too_much := refusal(uploads):
        st.error(too_much)
        st.stop()
    return uploads


def read_them(page: Page, uploads) -> None:
    """Read the files in a folder of this run."""
    with tempfile.TemporaryDirectory(prefix="ohmhours-") as scratch:
        add(saved(uploads, Path(scratch)), page)


def read_uploads(paths: list[Path]) -> dict[Path, list[SourceTable]]:
    """Read every table of the uploads; a file that cannot be used is told and left out."""
    tables = {}
    for path in paths:
        try:
            tables[path] = read_tables(path, LIMITS)
        except UserError as problem:
            st.error(verbatim(problem))
    return tables


def chosen_table(source: SourceTable, key: str):
    """Let the reader choose what a table holds and which column is which field."""
    first = propose(source)
    table = st.selectbox(
        "This table holds",
        TABLES,
        index=TABLES.index(first.table),
        format_func=TABLE_NAMES.get,
        key=f"{key}_table",
    )
    proposal = first if table == first.table else propose(source, table)
    options = [NOT_USED, *fields_of(table)]
    proposed = {match.header: match for match in proposal.matches}
    columns: dict[str, tuple[str, ...]] = {}
    grid = st.columns(3)
    for i, header in enumerate(source.header):
        match = proposed.get(header)
        field = grid[i % 3].selectbox(
            verbatim(header),
            options,
            index=options.index(match.field) if match else 0,
            format_func=lambda name, table=table: field_label(table, name),
            help=f"proposed, {match.confidence:.0%} sure" if match else None,
            key=f"{key}_{table}_{i}",
        )
        if field != NOT_USED:
            columns[field] = (*columns.get(field, ()), header)
    if proposal.readings:
        told = words.listed([f"{header} ({point})" for header, point in proposal.readings])
        st.caption(f"Taken as readings in columns of their own: {verbatim(told)}.")
    return replace(proposal.table_mapping(), columns=columns, units=time_units(columns, key))


def time_units(columns: dict[str, tuple[str, ...]], key: str) -> dict[str, str]:
    """Ask for the unit of each time whose header does not say it; cells with a unit need none."""
    units = {}
    for name in TIME_FIELDS:
        if name in columns and not time_unit(columns[name]):
            unit = st.selectbox(
                verbatim(f"{columns[name][0]}: a bare number means"),
                ("", "minutes", "hours"),
                format_func=lambda unit: unit or "every cell has its unit",
                key=f"{key}_unit_{name}",
            )
            units |= {name: unit} if unit else {}
    return units


def field_label(table: str, name: str) -> str:
    """Write a field with its meaning and whether it is required."""
    if name == NOT_USED:
        return name
    field = fields_of(table)[name]
    return f"{field.meaning}{' (required)' if field.is_required else ''}"


def preview(source: SourceTable, columns: dict[str, tuple[str, ...]], table: str) -> None:
    """Show the first rows as understood; personal data is not shown."""
    shown = {}
    for name, headers in columns.items():
        if fields_of(table)[name].is_personal:
            shown[name] = ["read, not kept as written"] * min(PREVIEW_ROWS, source.table.num_rows)
        else:
            column = source.table.column(source.header.index(headers[0]))
            shown[name] = column.slice(0, PREVIEW_ROWS).to_pylist()
    widgets.table(pd.DataFrame(shown))


def own_mapping(sources: list[SourceTable], known: list[Mapping]) -> Mapping:
    """Let the reader build one mapping for all tables that no known mapping claims."""
    st.subheader("How to read them")
    left, middle, right = st.columns(3)
    typed = left.text_input("Name of this source", value="our_shop", key="mapping_name")
    name = free_name(typed.strip() or "our_shop", [mapping.name for mapping in known])
    if name != typed:
        left.caption(verbatim(f"{typed} is another source; this one is kept as {name}."))
    guessed = next((order for s in sources if (order := propose(s).date_order)), "")
    order = middle.selectbox(
        "Dates are written",
        list(ORDERS),
        index=list(ORDERS).index(guessed),
        format_func=ORDERS.get,
        key="date_order",
    )
    decimal = right.selectbox("Decimal sign", (".", ","), key="decimal")
    tables = []
    for number, source in enumerate(sources):
        sheet = f", sheet {source.sheet}" if source.sheet else ""
        heading = verbatim(f"{source.file}{sheet}: {source.table.num_rows:,} rows")
        with st.expander(heading, expanded=True):
            table = chosen_table(source, f"t{number}_{source.file}_{source.sheet}")
            preview(source, table.columns, table.table)
            tables.append(table)
    return Mapping(
        name=name,
        title=name,
        date_order=order,
        decimal=decimal,
        tables=tuple(tables),
        words=st.session_state.get("chosen_words", {}),
    )


def lacking(mapping: Mapping) -> list[str]:
    """List the required fields that no column gives."""
    return [
        f"{', '.join(table.files)}: {field.meaning}"
        for table in mapping.tables
        for name, field in fields_of(table.table).items()
        if field.is_required and name not in table.columns
    ]


def choose_words(account: Account) -> None:
    """Let the reader give unknown words a meaning; kept in the mapping."""
    if not account.unknown_words:
        return
    st.subheader("Words that are not understood")
    chosen: dict[str, dict[str, str]] = dict(st.session_state.get("chosen_words", {}))
    for field, kind, text, rows in account.unknown_words[:30]:
        where = field.replace("_", " ") + (f", {kind}" if kind else "")
        meaning = st.selectbox(
            verbatim(f"{text} ({where}; {rows:,} rows)"),
            ["leave it", *sorted(known_ids(field))],
            format_func=lambda id_: id_.replace("_", " "),
            key=f"word_{field}_{kind}_{text}",
        )
        if meaning != "leave it":
            chosen.setdefault(field, {})[text] = meaning
    st.session_state["chosen_words"] = chosen


def add(paths: list[Path], page: Page) -> None:
    """Show how the files are understood, then check or load them."""
    tables = read_uploads(paths)
    if not tables:
        return
    paths, sources = list(tables), list(chain.from_iterable(tables.values()))
    try:
        mappings = bundled_mappings(page.folder / "mappings")
    except UserError as problem:
        st.error(verbatim(problem))
        return
    foreign = []
    for source in sources:
        found = mapping_of(source, mappings)
        if found is None:
            foreign.append(source)
            continue
        known, sheet = found[0], f", sheet {source.sheet}" if source.sheet else ""
        st.markdown(
            f"**{verbatim(source.file + sheet)}** is read by the mapping "
            f"“{verbatim(known.title or known.name)}”."
        )

    mapping = own_mapping(foreign, mappings) if foreign else None
    missing = lacking(mapping) if mapping else []
    if missing:
        st.warning(f"Still needed: {verbatim(words.listed(missing))}. Choose the column above.")
    is_locked = bool(missing) or load_panel.is_busy()
    keep_as = page.folder / "mappings" / mapping_file_name(mapping.name) if mapping else None
    load_panel.choose_decisions()
    left, right = st.columns([1, 1])
    if left.button("See what would happen", disabled=is_locked, width="stretch"):
        load_panel.start(paths, mapping, keep_as, is_check=True)
    if right.button("Load", type="primary", disabled=is_locked, width="stretch"):
        load_panel.start(paths, mapping, keep_as, is_check=False)
    load_panel.show()
    ended = load_panel.running().end if load_panel.running() else None
    if mapping and ended and ended.account and not ended.account.published:
        choose_words(ended.account)
    if mapping:
        widgets.offer(
            "Download this mapping",
            mapping_text(mapping),
            mapping_file_name(mapping.name),
            "application/toml",
        )


if __name__ == "__main__":
    shell.show(draw)
