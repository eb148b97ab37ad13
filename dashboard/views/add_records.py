"""Add records: upload exports, see how they are understood, mend the mapping, load."""

import tempfile
from dataclasses import replace
from itertools import chain
from pathlib import Path

import pandas as pd
import streamlit as st

from dashboard import page, words
from dashboard.settings import for_load, read_settings
from dashboard.uploads import refusal, safe_name, saved
from dashboard.verbatim import verbatim
from etl.account import Account, FileAccount
from etl.build import load
from etl.claim import mapping_of
from etl.fields import TABLES, fields_of
from etl.identity import KeyFileError
from etl.mapping import Mapping, MappingError, bundled_mappings
from etl.mapping_text import mapping_text
from etl.propose import propose
from etl.publish import PublishError
from etl.read import SourceTable, UnreadableFile, read_tables
from etl.store import LoadError
from etl.words import known_ids

TITLE = "Add records"
NOT_USED, PREVIEW_ROWS = "– not used –", 5
TABLE_NAMES = {
    "jobs": "jobs",
    "visits": "visits",
    "readings": "readings",
    "part_lines": "parts fitted",
}
ORDERS = {
    "": "only 2026-03-04 (ISO)",
    "MDY": "month first: 03/04/2026 is 4 March",
    "DMY": "day first: 03/04/2026 is 3 April",
}
TROUBLE = (
    KeyFileError,
    LoadError,
    MappingError,
    PublishError,
    UnreadableFile,
)


def read_uploads(paths: list[Path]) -> dict[Path, list[SourceTable]]:
    """Read every table of the uploads; a file that cannot be used is told and left out."""
    tables = {}
    for path in paths:
        try:
            tables[path] = read_tables(path)
        except UnreadableFile as problem:
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
    return replace(proposal.table_mapping(), columns=columns)


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
    page.table(pd.DataFrame(shown))


def own_mapping(sources: list[SourceTable]) -> Mapping:
    """Let the reader build one mapping for all tables that no known mapping claims."""
    st.subheader("How to read them")
    left, middle, right = st.columns(3)
    name = left.text_input("Name of this source", value="our_shop", key="mapping_name")
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
        name=name.strip() or "our_shop",
        title=name,
        date_order=order,
        decimal=decimal,
        tables=tuple(tables),
        words=st.session_state.get("chosen_words", {}),
    )


def mapping_file_name(mapping: Mapping) -> str:
    """Return the name of the mapping's file, whatever its user called it."""
    return safe_name(f"{mapping.name}.toml")


def lacking(mapping: Mapping) -> list[str]:
    """List the required fields that no column gives."""
    return [
        f"{', '.join(table.files)}: {field.meaning}"
        for table in mapping.tables
        for name, field in fields_of(table.table).items()
        if field.is_required and name not in table.columns
    ]


def reasons_of(file: FileAccount) -> list[str]:
    """Write each reason for quarantine with its rows."""
    return [f"{n:,} × {code.replace('_', ' ')}" for code, n in file.reasons.items()]


def show_account(account: Account) -> None:
    """Show what would become of every row, and why rows would wait."""
    rows = [
        {
            "File": file.file + (f" [{file.sheet}]" if file.sheet else ""),
            "Holds": TABLE_NAMES[file.table],
            "Rows read": file.read,
            "Loaded": file.loaded,
            "Duplicate": file.duplicate,
            "Superseded": file.superseded,
            "In quarantine": file.quarantined,
            "Why": "; ".join([*reasons_of(file), *file.notes]),
        }
        for file in account.files
    ]
    page.table(pd.DataFrame(rows))


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


def do(paths: list[Path], mapping: Mapping | None, is_check: bool) -> Account | None:
    """Check or load; a problem is told in one line and changes nothing."""
    try:
        with st.status("Reading" if is_check else "Loading", expanded=False) as status:
            account = load(
                paths,
                page.folder(),
                mapping=mapping,
                settings=for_load(read_settings(page.folder())),
                is_check=is_check,
                progress=lambda step: status.update(label=verbatim(step.replace("_", " "))),
            )
            status.update(label="Done", state="complete")
        return account
    except TROUBLE as problem:
        st.error(verbatim(problem))
        return None


def add(paths: list[Path]) -> None:
    """Show how the files are understood, then check or load them."""
    tables = read_uploads(paths)
    if not tables:
        return
    paths, sources = list(tables), list(chain.from_iterable(tables.values()))
    mappings, foreign = bundled_mappings(page.folder() / "mappings"), []
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

    mapping = own_mapping(foreign) if foreign else None
    missing = lacking(mapping) if mapping else []
    if missing:
        st.warning(f"Still needed: {verbatim(words.listed(missing))}. Choose the column above.")
    check, start = st.columns([1, 1])
    if check.button("See what would happen", disabled=bool(missing), width="stretch"):
        st.session_state["checked"] = do(paths, mapping, is_check=True)
    checked: Account | None = st.session_state.get("checked")
    if checked:
        st.subheader("What would become of every row")
        show_account(checked)
        if mapping:
            choose_words(checked)
    if start.button("Load", type="primary", disabled=bool(missing), width="stretch"):
        account = do(paths, mapping, is_check=False)
        if account:
            if mapping:
                target = page.folder() / "mappings" / mapping_file_name(mapping)
                target.parent.mkdir(exist_ok=True)
                target.write_text(mapping_text(mapping), encoding="utf-8")
            st.session_state.pop("checked", None)
            st.success("Loaded: the pages show it now.")
            show_account(account)
    if mapping:
        st.download_button(
            "Download this mapping",
            data=mapping_text(mapping),
            file_name=mapping_file_name(mapping),
            mime="application/toml",
        )


st.title(TITLE)
st.markdown(
    "Upload the exports that your shop already has: CSV, Excel, JSON, JSON Lines or Parquet, "
    "several at once. Nothing is loaded before you have seen what would become of every row. "
    "Names, addresses, phones and serial numbers are turned into keys and never kept as written."
)
uploads = st.file_uploader(
    "Exports", accept_multiple_files=True, key="uploads", label_visibility="collapsed"
)
if not uploads:
    st.markdown("The command `ohmhours load --check FOLDER` does the same without a browser.")
    st.stop()

if too_much := refusal(uploads):
    st.error(too_much)
    st.stop()

with tempfile.TemporaryDirectory(prefix="ohmhours-") as scratch:
    add(saved(uploads, Path(scratch)))
