"""What pages are made of: charts, tables, lists, downloads, cautions, how it is counted."""

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

import pandas as pd
import streamlit as st

import sql
from dashboard.access.reader import kept, reader
from dashboard.text.cautions import cautions
from dashboard.text.csv_export import csv_text
from dashboard.text.escape_markdown import verbatim, verbatim_figure
from dashboard.ui.column_widths import fitted
from dashboard.ui.columns import Columns, shown, written

LISTED = 10_000  # rows of a list: more cannot be looked through
FORMATS, SAVED_AS = ("PNG", "SVG"), "charts_saved_as"


def chart(figure: Any, alt: str, key: str, title: str = "", **options: Any) -> Any:
    """Draw a chart under its title, with a text alternative that holds its main numbers.

    The title states the finding. It is the page's text, so that it wraps on a phone. The chart can
    be saved in the format chosen at the side; other tools of the drawing library are left out.
    """
    if title:
        st.markdown(f"**{verbatim(title)}**")
    return st.plotly_chart(
        verbatim_figure(figure),
        key=key,
        alt=alt,
        config={
            "displayModeBar": True,
            "displaylogo": False,
            "modeBarButtons": [["toImage"]],
            "toImageButtonOptions": {
                "format": str(st.session_state.get(SAVED_AS, FORMATS[0])).lower(),
                "filename": f"ohms_and_hours_{key}",
                "scale": 2,
            },
        },
        **options,
    )


def chart_format() -> None:
    """Draw the choice of the format in which charts are saved."""
    with st.sidebar:
        st.segmented_control(
            "Save charts as", FORMATS, default=FORMATS[0], key=SAVED_AS, required=True
        )


def clicked(event: Any, place: int = 0, field: str = "customdata") -> str | None:
    """Return what the bar or dot just clicked on a chart stands for; None without a click.

    `field`: the point's x, y, or its custom values, of which `place` is taken.
    """
    points = event["selection"]["points"] if event else []
    value = points[0].get(field) if points else None
    if value is None:
        return None
    return str(value[place] if isinstance(value, list | tuple) else value)


def table(frame: pd.DataFrame, columns: Columns | None = None) -> None:
    """Show a table: the columns named (all when none are), a dash where nothing can be said."""
    _dataframe(frame, columns)


def clicked_row(frame: pd.DataFrame, columns: Columns, key: str) -> int | None:
    """Show a table whose rows can be clicked; return the row just clicked, or None."""
    event = _dataframe(frame, columns, key=key, on_select="rerun", selection_mode="single-cell")
    cells = event.selection.cells
    return int(cells[0][0]) if cells else None


def _dataframe(frame: pd.DataFrame, columns: Columns | None, **options: Any) -> Any:
    data, config = shown(frame, columns) if columns else (frame, None)
    config, height = fitted(frame[list(columns)] if columns else frame, config)
    return st.dataframe(
        data,
        column_config=config,
        hide_index=True,
        width="stretch",
        row_height=height,
        placeholder="–",
        lazy=len(frame) > LISTED,
        **options,
    )


def listed(rows: pd.DataFrame) -> pd.DataFrame:
    """Return the rows that a list shows; where there are more, say so."""
    if len(rows) > LISTED:
        st.caption(
            f"The first {LISTED:,} of {len(rows):,} are listed; narrow the filter to see others."
        )
    return rows.head(LISTED)


def how_counted(name: str, *, within: bool = False) -> None:
    """Show the header of the measure's SQL: what it is, who is in, who is out, the source.

    `within`: inside another box, which cannot hold a second one.
    """
    with st.container() if within else st.expander("How this is counted"):
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


def download(
    frame: pd.DataFrame,
    name: str,
    columns: Columns | None = None,
    only_shown: Sequence[str] = (),
) -> None:
    """Offer a table as CSV; text that a spreadsheet would take for a formula is made plain.

    With `columns` twice: as it is shown, and for machines with ids and full digits but without
    the columns `only_shown`, which are texts made of others.
    """
    numbers = frame.drop(columns=list(only_shown))
    with st.container(horizontal=True):
        if columns:
            _csv("Download table", lambda: csv_text(written(frame, columns)), f"{name}_shown")
        label = "Download raw data" if columns else "Download table"
        _csv(label, lambda: csv_text(numbers), name)


def _csv(label: str, content: Callable[[], str], name: str) -> None:
    offer(label, content, f"{name}.csv", "text/csv", key=f"download_{name}")


def offer(label: str, content: Any, file_name: str, mime: str, **options: Any) -> None:
    """Offer a file, made on demand, to the current reader; behind sign-in only to that person."""
    mark = reader().mark
    st.download_button(
        label,
        data=kept(content) if callable(content) else content,
        file_name=file_name,
        mime=f"{mime}; reader={mark}" if mark else mime,
        **options,
    )


BOXES: dict[str, Callable[[str], object]] = {
    "danger": st.error,
    "warning": st.warning,
    "note": st.caption,
}


def show_cautions(*names: str) -> None:
    """Show the cautions of these ids, the most serious ones as such."""
    for name in names:
        level, text = cautions()[name]
        BOXES[level](text)


def show_dangers(names: Sequence[str]) -> None:
    """Show several cautions of level danger in one box, for pages about every kind of appliance."""
    if names:
        st.error("\n".join(f"- {cautions()[name][1]}" for name in names))
