"""A source that no kept mapping claims: one mapping for all its files, and what it still lacks."""

from collections import Counter
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pyarrow as pa
import streamlit as st

from dashboard.loading.answers import join_spellings, joined
from dashboard.loading.mapping_form import habits_form
from dashboard.loading.source_form import SourceForm, source_form
from dashboard.text import format as words
from etl.mapping.mapping import Mapping, TableMapping
from etl.mapping.propose_all import mapping_of_all
from etl.mapping.spellings import same_names
from etl.read import SourceTable

ANSWERED = "chosen_words"
JOINED_FIELDS = ("technician", "branch", "brand", "supplier")
SAME_NUMBERS = 0.5  # share of common job numbers with another day, from which it is two numberings


def own_mapping(
    uploaded: list[tuple[Path, SourceTable]], known: list[Mapping]
) -> tuple[Mapping, str]:
    """Let the reader build one mapping for all tables of a new source; say what it still lacks."""
    st.subheader("How we read it")
    place = st.container()
    forms = [
        source_form(path, source, f"t{n}_{source.file}")
        for n, (path, source) in enumerate(uploaded)
    ]
    sources = [form.source for form in forms]
    guess = mapping_of_all("our_shop", [p for form in forms for p in form.proposals])
    with place:
        taken = [mapping.name for mapping in known]
        mapping = habits_form(replace(guess, title=""), taken, "new")
    tables = tuple(table for form in forms for table in form.tables)
    mapping = replace(mapping, tables=tables, words=spelled(sources, forms))
    missing = [
        f"{s.file}: {text}" for s, f in zip(sources, forms, strict=True) for text in f.lacking
    ]
    if missing:
        return mapping, f"Still needed: {words.listed(missing)}. Choose the column above."
    return mapping, two_numberings(sources, tables)


def spelled(sources: list[SourceTable], forms: list[SourceForm]) -> dict[str, dict[str, str]]:
    """Return all words of the source: of its lines, answered ones, and spellings of one name."""
    counts: dict[str, Counter[str]] = {field: Counter() for field in JOINED_FIELDS}
    for source, form in zip(sources, forms, strict=True):
        for table in form.tables[:1]:
            for field in JOINED_FIELDS:
                for header in table.columns.get(field, ())[:1]:
                    cells = source.table.column(source.header.index(header)).cast(pa.string())
                    counts[field].update(c.strip() for c in cells.to_pylist() if c and c.strip())
    proposed = [
        (field, same, jobs[same.spelling])
        for field, jobs in counts.items()
        for same in same_names(jobs, field)
    ]
    names: dict[str, dict[str, str]] = {}
    if proposed:
        st.subheader("One name, written twice?")
        st.caption("Rates count each name by itself until you join its spellings.")
        names = join_spellings(proposed, "names")
    answered = st.session_state.get(ANSWERED, {})
    return joined(*(form.words for form in forms), answered, names)


def two_numberings(sources: list[SourceTable], tables: tuple[TableMapping, ...]) -> str:
    """Say which files use the same job numbers for different jobs; "" for none."""
    jobs = [
        (source, days)
        for source in sources
        for table in tables
        if table.table == "jobs" and source.file in table.files
        if (days := _days_of_jobs(source, table))
    ]
    for (one, left), (other, right) in combinations(jobs, 2):
        common = left.keys() & right.keys()
        differ = sum(left[job] != right[job] for job in common)
        if one.file != other.file and common and differ > SAME_NUMBERS * len(common):
            return (
                f"{one.file} and {other.file} use the same job numbers for different jobs. "
                "Upload one of them at a time, so that each is a source of its own"
            )
    return ""


def _days_of_jobs(source: SourceTable, table: TableMapping) -> dict[str, str]:
    columns = [table.columns.get(name, ("",))[0] for name in ("job_id", "opened_on")]
    if not all(header in source.header for header in columns):
        return {}
    cells = [source.table.column(source.header.index(h)).cast(pa.string()) for h in columns]
    return dict(zip(cells[0].to_pylist(), cells[1].to_pylist(), strict=True))
