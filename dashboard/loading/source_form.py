"""One uploaded table as a form: what it holds, its columns, its first rows, what its lines are."""

from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

import pandas as pd
import pyarrow as pa
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading.answers import Words, joined
from dashboard.loading.panel import TABLE_NAMES
from dashboard.loading.table_form import HEADER_ROW, header_row_input, lacking, table_form
from dashboard.loading.uploads import LIMITS
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from etl.mapping.accepted_words import known_ids
from etl.mapping.fields import TABLES, fields_of
from etl.mapping.line_words import known_type
from etl.mapping.mapping import TableMapping
from etl.mapping.proposal import Proposal
from etl.mapping.propose import propose
from etl.mapping.propose_lines import propose_tables
from etl.read import SourceTable, read_tables
from etl.read.formats import JSON_SUFFIXES

LINES = "lines"
HOLDS = {table: TABLE_NAMES[table] for table in TABLES} | {
    LINES: "jobs and parts fitted: the lines of invoices"
}
PREVIEW_ROWS, MOST_TYPES = 5, 100


@dataclass(frozen=True)
class SourceForm:
    """What the form of one source says: its tables, its words, and what is still to be said."""

    tables: tuple[TableMapping, ...]
    words: Words
    proposals: tuple[Proposal, ...]
    lacking: tuple[str, ...]
    source: SourceTable


def source_form(path: Path, source: SourceTable, place: str) -> SourceForm:
    """Show how a table is understood, open where something is asked, and let it be changed."""
    row: int | None = st.session_state.get(f"{place}{HEADER_ROW}")
    source, problem = _read_again(path, source, row) if row else (source, "")
    key = f"{place}_{row}" if row else place
    found = _proposed(source, key)
    open_questions = [m for p in found for m in (*p.missing, *p.asked)]
    with st.expander(_heading(source, found), expanded=bool(open_questions or row)):
        if path.suffix.lower() not in JSON_SUFFIXES:
            header_row_input(None, place)
        if problem:
            st.error(verbatim(problem))
        chosen = st.selectbox(
            "This table holds",
            HOLDS,
            list(HOLDS).index(_holds(found)),
            format_func=HOLDS.__getitem__,
            key=f"{key}_holds",
        )
        if chosen != _holds(found):
            wanted = ("jobs", "part_lines") if chosen == LINES else (chosen,)
            found = [propose(source, table) for table in wanted]
        form = _form(source, found, f"{key}_{chosen}")
    return replace(form, tables=tuple(replace(table, header_row=row) for table in form.tables))


def _read_again(path: Path, source: SourceTable, row: int) -> tuple[SourceTable, str]:
    """Read a table by the row of its header that the reader gives; say why it cannot be."""
    limits = replace(LIMITS, header_rows=(("*", row),))
    try:
        tables = read_tables(path, limits)
    except UserError as refusal:
        return source, str(refusal)
    by_sheet = {table.sheet: table for table in tables}
    problem = "" if source.sheet in by_sheet else f"row {row:,} of this sheet is no header"
    return by_sheet.get(source.sheet, source), problem


def _form(source: SourceTable, found: list[Proposal], key: str) -> SourceForm:
    tables, words = [], [{name: dict(w) for name, w in p.words} for p in found]
    tabs = st.tabs([TABLE_NAMES[p.table] for p in found]) if len(found) > 1 else [st.container()]
    for tab, proposal in zip(tabs, found, strict=True):
        with tab:
            proposed = proposal.table_mapping()
            table = table_form(source.header, proposed, f"{key}_{proposal.table}")
            if table.has_lines:
                words.append(_line_words(source, table, joined(*words), f"{key}_words"))
            _preview(source, table)
            tables.append(table)
    missing = [text for table in tables for text in lacking(table)]
    return SourceForm(tuple(tables), joined(*words), tuple(found), tuple(missing), source)


def _proposed(source: SourceTable, key: str) -> list[Proposal]:
    """Propose once for each upload, not at every click."""
    place = f"proposed_{key}"
    if place not in st.session_state:
        st.session_state[place] = propose_tables(source)
    found: list[Proposal] = st.session_state[place]
    return found


def _holds(found: list[Proposal]) -> str:
    return LINES if len(found) > 1 else found[0].table


def _heading(source: SourceTable, found: list[Proposal]) -> str:
    sheet = f", sheet {source.sheet}" if source.sheet else ""
    used = len(source.header) - len(found[0].unmatched)
    return verbatim(
        f"{source.file}{sheet}: {source.table.num_rows:,} rows of {HOLDS[_holds(found)]}; "
        f"{used} of {len(source.header)} columns used"
    )


def _line_words(source: SourceTable, table: TableMapping, proposed: Words, key: str) -> Words:
    """Show every word for a line with its meaning: proposed, known, or to be chosen."""
    if "line_type" not in table.columns:
        return {}
    (header, *_) = table.columns["line_type"]
    cells = source.table.column(source.header.index(header)).cast(pa.string()).to_pylist()
    counts = Counter(cell.strip() for cell in cells if cell and cell.strip())
    own = proposed.get("line_type", {})
    ids = sorted(known_ids("line_type"))
    rows = [
        {"They wrote": word, "Lines": lines, "Means": own.get(word) or known_type(word)}
        for word, lines in counts.most_common(MOST_TYPES)
    ]
    st.caption("What each line of an invoice is: the sums of a job are made of these.")
    answered = st.data_editor(
        pd.DataFrame(rows),
        key=key,
        hide_index=True,
        disabled=["They wrote", "Lines"],
        column_config={"Means": st.column_config.SelectboxColumn(options=ids)},
    )
    pairs = zip(answered["They wrote"], answered["Means"], strict=True)
    return {"line_type": {w: m for w, m in pairs if m and m != known_type(w)}}


def _preview(source: SourceTable, table: TableMapping) -> None:
    """Show the first rows as understood; personal data is not shown."""
    shown = {}
    for name, headers in {**table.columns, **table.first_of}.items():
        if fields_of(table.table)[name].is_personal:
            shown[name] = ["read, not kept as written"] * min(PREVIEW_ROWS, source.table.num_rows)
        else:
            column = source.table.column(source.header.index(headers[0]))
            shown[name] = column.slice(0, PREVIEW_ROWS).to_pylist()
    st.caption("The first rows, as they are understood")
    widgets.table(pd.DataFrame(shown).rename(columns=lambda name: name.replace("_", " ")))
