"""What pages are made of: charts, tables, lists, downloads, cautions, how it is counted."""

from functools import cache
from typing import Any

import pandas as pd
import streamlit as st

import sql
from dashboard.access.reader import kept, reader
from dashboard.text.cautions import cautions
from dashboard.text.csv_export import csv_text
from dashboard.text.escape_markdown import verbatim_figure

LISTED = 10_000  # rows of a list: nobody looks through more


def chart(figure: Any, alt: str, key: str, **options: Any) -> Any:
    """Draw a chart with a text alternative that holds its main numbers."""
    return st.plotly_chart(
        verbatim_figure(figure),
        key=key,
        alt=alt,
        config={"displayModeBar": False},
        **options,
    )


def table(frame: pd.DataFrame, columns: dict[str, Any] | None = None) -> None:
    """Show a table: the columns named (all when none are), a dash where nothing can be said."""
    shown = frame[list(columns)] if columns else frame
    st.dataframe(
        shown,
        column_config=columns,
        hide_index=True,
        width="stretch",
        placeholder="–",
        lazy=len(shown) > LISTED,
    )


def clicked_row(frame: pd.DataFrame, columns: dict[str, Any], key: str) -> int | None:
    """Show a table whose rows can be clicked; return the row just clicked, or None."""
    event = st.dataframe(
        frame[list(columns)],
        column_config=columns,
        hide_index=True,
        width="stretch",
        placeholder="–",
        lazy=len(frame) > LISTED,
        key=key,
        on_select="rerun",
        selection_mode="single-cell",
    )
    cells = event.selection.cells
    return int(cells[0][0]) if cells else None


def listed(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the rows that a list shows; where there are more, say so."""
    if len(rows) > LISTED:
        st.caption(
            f"The first {LISTED:,} of {len(rows):,} are listed; narrow the filter to see others."
        )
    return rows.head(LISTED)


def how_counted(name: str) -> None:
    """Show the header of the measure's SQL: what it is, who is in, who is out, the source."""
    with st.expander("How this is counted"):
        st.text(header_of(name))
        st.caption(f"The exact definition is sql/measures/{name}.sql.")


@cache
def header_of(name: str) -> str:
    """Return the comment at the top of a measure's SQL, without the comment signs."""
    lines = []
    for line in sql.text(f"measures/{name}").splitlines():
        if not line.startswith("--"):
            break
        lines.append(line.removeprefix("--").removeprefix(" "))
    return "\n".join(lines)


def download(frame: pd.DataFrame, name: str) -> None:
    """Offer a table as CSV; text that a spreadsheet would take for a formula is made plain."""
    offer(
        "Download this table (CSV)",
        lambda: csv_text(frame),
        f"{name}.csv",
        "text/csv",
        key=f"download_{name}",
    )


def offer(label: str, content: Any, file_name: str, mime: str, **options: Any) -> None:
    """Offer a file, made when asked for, to who reads now; behind sign-in to nobody else."""
    mark = reader().mark
    st.download_button(
        label,
        data=kept(content) if callable(content) else content,
        file_name=file_name,
        mime=f"{mime}; reader={mark}" if mark else mime,
        **options,
    )


def show_cautions(*names: str) -> None:
    """Show the cautions of these ids, the most serious ones as such."""
    boxes = {"danger": st.error, "warning": st.warning, "note": st.caption}
    for name in names:
        level, text = cautions()[name]
        boxes[level](text)
