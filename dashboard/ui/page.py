"""The frame of every page: title, filters in words, empty states, how it is counted, download."""

import os
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pandas as pd
import streamlit as st
from streamlit.navigation.page import StreamlitPage

import sql
from dashboard.access import policy as access
from dashboard.database import query as data
from dashboard.database.labels import Labels, read_labels
from dashboard.database.query import Damaged, Filters
from dashboard.errors import UserError
from dashboard.settings.file import DATABASE, read_settings
from dashboard.text.cautions import cautions
from dashboard.text.csv_export import csv_text
from dashboard.text.escape_markdown import verbatim, verbatim_figure
from dashboard.ui import filter_sidebar as filters

LISTED = 10_000  # rows of a list: nobody looks through more
FIRST_STEP = """
**Nothing was loaded yet.** Two ways to begin:

- `ohmhours demo` shows every page on an invented shop.
- `ohmhours load FOLDER` reads your own exports (CSV, Excel, JSON, Parquet);
  `ohmhours load --check FOLDER` shows first what would become of each row and changes nothing.
"""


def folder() -> Path:
    """Return the database folder that the command line chose."""
    return Path(os.environ[DATABASE])


@dataclass(frozen=True)
class Page:
    """What a page works with: the filters, the settings, the labels, the dataset's one row."""

    filters: Filters
    settings: dict[str, Any]
    labels: Labels
    dataset: pd.Series

    def measure(self, name: str, **parameters: Any) -> pd.DataFrame:
        """Return a measure under the page's filters and the shop's settings."""
        return data.measure(folder(), name, self.filters, **self._with_window(parameters))

    def rows(self, name: str, **parameters: Any) -> pd.DataFrame:
        """Return the rows of one file of sql/pages under the page's filters."""
        return data.run(folder(), f"pages/{name}", self.filters, **self._with_window(parameters))

    def _with_window(self, parameters: dict[str, Any]) -> dict[str, Any]:
        return {"window_days": self.settings["callback_window_days"]} | parameters


def begin(title: str) -> Page:
    """Write the title and the filter sentence; stop with the first step when there is no data."""
    st.title(title)
    if "page" not in st.session_state or data_problem():
        problem = data_problem()
        st.info(FIRST_STEP if problem is None else verbatim(problem), icon=":material/info:")
        st.stop()
    page: Page = st.session_state["page"]
    if page.dataset.jobs == 0:
        st.info(FIRST_STEP, icon=":material/info:")
        st.stop()
    dates = page.dataset
    st.caption(
        verbatim(
            filters.sentence(page.filters, page.labels, dates.first_closed_on, dates.last_closed_on)
        )
        + f" Records speak up to {dates.as_of:%Y-%m-%d}."
    )
    return page


def data_problem() -> str | None:
    """Return what is wrong with the database, or None."""
    return st.session_state.get("data_problem")


def prepare() -> None:
    """Read what every page needs and draw the filters; called once a run, before the page."""
    st.session_state.pop("page", None)
    st.session_state.pop("data_problem", None)
    try:
        version = data.version(folder())
        st.session_state["version"] = str(version)
        if version is None:
            return
        labels = read_labels(folder())
        chosen = _own(filters.sidebar(_choices(), labels))
        dataset = data.run(folder(), "pages/dataset").iloc[0]
        st.session_state["page"] = Page(chosen, read_settings(folder()), labels, dataset)
        if notice := data.notice(folder()):
            st.warning(verbatim(notice), icon=":material/history:")
    except Damaged:
        st.rerun()  # now the last good version is read
    except UserError as problem:
        st.session_state["data_problem"] = str(problem)


def _choices() -> pd.DataFrame:
    """Return what the filters offer: to a technician no technicians."""
    choices = data.run(folder(), "pages/choices")
    is_single = access.reader().role == access.TECHNICIAN
    return choices[choices["filter"] != "technician"] if is_single else choices


def _own(chosen: Filters) -> Filters:
    """Return the filters as they hold for who reads: a technician's say that the jobs are his."""
    own = access.reader().technician
    return replace(chosen, technician=(own,)) if own else chosen


def run(view: StreamlitPage, name: str) -> None:
    """Run a page; anew from the last good version when the one it read turns out damaged.

    Who may not see it, or a job that it shows, is told so.
    """
    try:
        access.check_page(name)
        view.run()
    except Damaged:
        st.rerun()
    except access.Refused as refusal:
        if not access.reader().opens(name):
            st.title(view.title)
        st.warning(verbatim(refusal), icon=":material/lock:")
    except UserError as problem:
        st.error(verbatim(problem))


@st.fragment(run_every="20s")
def follow_new_versions() -> None:
    """Draw the page anew when a load has published another version meanwhile."""
    try:
        found = str(data.version(folder()))
    except UserError:
        return
    if st.session_state.get("version") != found:
        st.rerun()


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
        lazy=len(shown) > 10_000,
    )


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
    mark = access.reader().mark
    st.download_button(
        label,
        data=access.kept(content) if callable(content) else content,
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
