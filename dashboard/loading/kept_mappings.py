"""The mappings that were kept: listed, opened, changed, tried on the stored rows, saved."""

from dataclasses import replace
from pathlib import Path

import pandas as pd
import streamlit as st

from dashboard.errors import UserError
from dashboard.loading.answers import FIELDS
from dashboard.loading.mapping_form import habits_form
from dashboard.loading.panel import TABLE_NAMES
from dashboard.loading.table_form import header_row_input, lacking, table_form
from dashboard.settings.file import for_load
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from dashboard.ui.page import Page
from etl.folder.atomic_write import write_whole
from etl.folder.regular_file import small_text
from etl.mapping.mapping import Mapping, mapping_from, read_mapping
from etl.mapping.schema import NAME_FIELDS, WORD_FIELDS
from etl.mapping.toml_writer import mapping_text, parsed
from etl.rebuild import reread_stored, would_change


def kept_mappings(page: Page) -> None:
    """List the kept mappings and open one; nothing where none was kept."""
    paths = sorted((page.folder / "mappings").glob("*.toml"))
    if not paths:
        return
    st.subheader("Your sources")
    st.caption("How each source is read. Later files of a source are read the same way.")
    mappings, shown = {}, []
    for path in paths:
        try:
            mapping = read_mapping(path)
        except UserError as problem:
            st.error(verbatim(problem))
            continue
        mappings[path] = mapping
        shown.append(_row(mapping))
    if not mappings:
        return
    widgets.table(pd.DataFrame(shown))
    chosen = st.selectbox(
        "Change how a source is read",
        list(mappings),
        index=None,
        format_func=lambda path: mappings[path].name,
        placeholder="Choose a source",
        key="kept_mapping",
    )
    if chosen:
        _change(chosen, mappings[chosen], page)


def _row(mapping: Mapping) -> dict[str, str]:
    words = sum(len(meanings) for meanings in mapping.words.values())
    return {
        "Source": mapping.name,
        "Files": ", ".join(dict.fromkeys(f for t in mapping.tables for f in t.files)),
        "Holds": ", ".join(dict.fromkeys(TABLE_NAMES[t.table] for t in mapping.tables)),
        "Job numbers": mapping.own_numbering,
        "Words of its own": f"{words:,}",
    }


def _change(path: Path, mapping: Mapping, page: Page) -> None:
    """Show one mapping as a form; try it on the stored rows, or save it."""
    key = f"kept_{path.stem}"
    changed = replace(habits_form(mapping, [], key), name=mapping.name)
    tables = []
    for number, table in enumerate(mapping.tables, start=1):
        heading = f"{TABLE_NAMES[table.table]}: {', '.join(table.files)}"
        with st.expander(verbatim(heading)):
            headers = list(dict.fromkeys(table.headers()))
            changed_table = table_form(headers, table, f"{key}_{number}")
            row = header_row_input(table.header_row, f"{key}_{number}")
            tables.append(replace(changed_table, header_row=row))
    changed = replace(changed, tables=tuple(tables), words=_words(mapping, key))
    missing = [text for table in tables for text in lacking(table)]
    if missing:
        st.warning(verbatim(f"Still needed: {', '.join(missing)}."))
    settings = for_load(page.settings)
    left, right = st.columns(2)
    if left.button("Try it on the stored rows", disabled=bool(missing), key=f"{key}_try"):
        _try(changed, page.folder, settings)
    if right.button("Save this source", disabled=bool(missing), type="primary", key=f"{key}_save"):
        _save(path, changed, page.folder, settings)


def _words(mapping: Mapping, key: str) -> dict[str, dict[str, str]]:
    """Let every word of the mapping be changed, added or removed."""
    rows = [(f, word, id_) for f, words in mapping.words.items() for word, id_ in words.items()]
    with st.expander(f"Words of its own ({len(rows):,})"):
        edited = st.data_editor(
            pd.DataFrame(rows, columns=["Field", "They write", "Means"], dtype=str),
            key=f"{key}_words",
            num_rows="dynamic",
            hide_index=True,
            width="stretch",
            column_config={
                "Field": st.column_config.SelectboxColumn(
                    options=[*WORD_FIELDS, *NAME_FIELDS],
                    format_func=lambda field: FIELDS.get(str(field), str(field)),
                )
            },
        )
    words: dict[str, dict[str, str]] = {}
    for field, word, meaning in edited.itertuples(index=False):
        if isinstance(field, str) and isinstance(word, str) and isinstance(meaning, str):
            words.setdefault(field, {})[word] = meaning
    return words


def _try(changed: Mapping, folder: Path, settings: dict[str, str]) -> None:
    """Say what would change in the stored rows."""
    try:
        with st.spinner("Trying it on a copy of the stored rows"):
            message = would_change(folder, _checked(changed), settings)
    except UserError as problem:
        st.error(verbatim(problem))
    else:
        st.info(verbatim(message or "No stored job would change."))
        st.caption("Columns count for files that are loaded from now on; the rest for all rows.")


def _save(path: Path, changed: Mapping, folder: Path, settings: dict[str, str]) -> None:
    """Keep the mapping and read its stored rows by it, as one action."""
    try:
        text = mapping_text(_checked(changed), earlier=small_text(path))
        with st.spinner("Saving, and reading the stored rows by it"):
            reread_stored(
                folder, changed, settings, lambda: write_whole(path, text.encode("utf-8"))
            )
    except UserError as problem:
        st.error(verbatim(problem))
    else:
        st.rerun()


def _checked(mapping: Mapping) -> Mapping:
    """Return the mapping as its file would be read; raise MappingError where it cannot be."""
    return mapping_from(parsed(mapping_text(mapping)), mapping.name)
