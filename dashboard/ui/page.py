"""Page: what a view is drawn from, and how every page begins."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.database.labels import Labels
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot
from dashboard.filters import Filters
from dashboard.measures import measure
from dashboard.text.escape_markdown import verbatim
from dashboard.text.format import day, is_missing
from dashboard.ui import filter_sidebar
from dashboard.ui.menu import TITLES, WITHOUT_FILTERS
from etl.folder.sample import holds_only_sample

FIRST_STEP = """
**Nothing is loaded yet.** Try the invented sample shop, or add your own records (CSV, Excel,
JSON or Parquet). On the command line: `ohmhours demo`, or `ohmhours load FOLDER`.
"""
SAMPLE = "**Invented sample shop.** Every name and number on this page is made up."


@dataclass(frozen=True)
class Records:
    """The records that this page run reads: snapshot, chosen filters, labels, the dataset's row."""

    snapshot: Snapshot
    filters: Filters
    labels: Labels
    dataset: pd.Series


@dataclass(frozen=True)
class Page:
    """What a view is drawn from; made once per run.

    Without `records` nothing was loaded yet, or they cannot be read: then `problem` says why.
    `settings` is None when the settings file cannot be read. After `begin` both are there.
    """

    folder: Path
    settings: Mapping[str, Any]
    records: Records | None = None
    problem: str | None = None
    name: str = ""

    def title(self, question: str) -> None:
        """Write the page's title, as in the menu, and the question that it answers."""
        st.title(TITLES.get(self.name, question))
        if question != TITLES.get(self.name):
            st.markdown(f"*{question}*")
        if self.records is not None and self.is_sample:
            st.caption(SAMPLE)

    def begin(self, question: str, *, is_whole_shop: bool = False) -> None:
        """Write title, question and which jobs are shown; without records say how to begin.

        `is_whole_shop`: the view leaves the filters at the side out, so none is shown as chosen.
        """
        self.title(question)
        if self.problem is not None:
            st.info(verbatim(self.problem), icon=":material/info:")
            st.stop()
        if self.records is None or self.dataset.jobs == 0:
            first_step()
            st.stop()
        if self.name in WITHOUT_FILTERS or is_whole_shop:
            st.caption(f"Data through {day(self.dataset.as_of)}.")
            return
        filter_sidebar.chips(self.filters, self.labels)
        dates = self.dataset
        sentence = filter_sidebar.sentence(
            self.filters, self.labels, dates.first_closed_on, dates.last_closed_on
        )
        st.caption(f"{verbatim(sentence)} Data through {day(dates.as_of)}.")

    def measure(self, name: str, **parameters: Any) -> pd.DataFrame:
        """Return a measure under the page's filters and the shop's settings."""
        return measure(self.snapshot, name, self.filters, **parameters)

    def rows(self, name: str, **parameters: Any) -> pd.DataFrame:
        """Return the rows of one file of sql/pages under the page's filters."""
        return run(self.snapshot, f"pages/{name}", self.filters, **parameters)

    def narrowed(self, **filters: Any) -> "Page":
        """Return the page with these filters instead of the chosen ones of the same names."""
        chosen = replace(self.filters, **filters)
        return replace(self, records=replace(self._read, filters=chosen))

    def whole_shop(self) -> "Page":
        """Return the page without any filter."""
        return replace(self, records=replace(self._read, filters=Filters()))

    @property
    def snapshot(self) -> Snapshot:
        return self._read.snapshot

    @property
    def filters(self) -> Filters:
        return self._read.filters

    @property
    def labels(self) -> Labels:
        return self._read.labels

    @property
    def dataset(self) -> pd.Series:
        return self._read.dataset

    @property
    def currency(self) -> str | None:
        """Return the shop's currency (ISO 4217); None when unknown or more than one."""
        row = self.dataset
        return None if row.currencies != 1 or is_missing(row.currency) else str(row.currency)

    @property
    def is_sample(self) -> bool:
        """Return True if all records are those of the invented sample shop."""
        return holds_only_sample(self.snapshot.version)

    @property
    def kinds(self) -> tuple[str, ...]:
        """Return the kinds of appliances in the filter: those chosen, else all in the records."""
        choices = self.rows("choices")
        known = choices.loc[choices["filter"] == "appliance_kind", "value"]
        return self.filters.appliance_kind or tuple(known)

    def point_name(self, test_point: str) -> str:
        """Return the trade's name of a test point, with the kind where kinds share the name.

        A choice among all kinds needs it: a choice, and a link to it, is found by its label.
        """
        return self.labels.of("test_point_of_all", test_point)

    @property
    def _read(self) -> Records:
        if self.records is None:
            raise ValueError("a page without records: call begin first")
        return self.records


def first_step() -> None:
    """Offer the two ways to begin."""
    st.info(FIRST_STEP, icon=":material/info:")
    with st.container(horizontal=True):
        st.page_link("views/add_records.py", label="Try the sample shop", icon=":material/science:")
        st.page_link("views/add_records.py", label="Add your records", icon=":material/upload:")
