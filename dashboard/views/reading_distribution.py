"""Readings: what the meter said at a test point, against its limits."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.readings import charts as charts_readings
from dashboard.readings import sentences as reading_words
from dashboard.readings.charts import EDGES, VALUES
from dashboard.readings.shown_units import shown
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import shell, widgets
from dashboard.ui.by_click import set_choice
from dashboard.ui.page import Page
from dashboard.views.sections import readings_jobs
from dashboard.views.sections.limits import show_limits

ANY = ""
NUMBER, TEXT = st.column_config.NumberColumn, st.column_config.TextColumn
STATES = {
    "label": TEXT("Parts"),
    "n_words": TEXT("Readings", help="readings with a number; open ones are counted separately"),
    "range_words": TEXT("Median (5%–95%)"),
    "outside_words": TEXT("Outside limits"),
    "doubtful_words": TEXT("Doubtful"),
}
POINTS = {
    "label": TEXT("Test point"),
    "n_words": TEXT("Readings"),
    "range_words": TEXT("Median (5%–95%)"),
    "limits_words": TEXT("Limits"),
    "outside_words": TEXT("Outside limits"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What did the meter say?")
    finding = st.container()
    narrowed, point, table = choose(page)
    table = reading_words.distributions(table, page.point_name)
    row: Row = table.set_index("test_point").loc[point]
    limits = page.rows("limits", test_point=point)
    with finding:
        st.markdown(reading_words.answer(row))
    widgets.show_cautions(*reading_words.caution_ids(limits.iloc[0], cautions()))
    picked = draw_bars(narrowed, point, row)
    readings_jobs.draw_jobs(narrowed, point, picked, row["label"])
    drift(narrowed, point, row)
    all_points(table)
    details(page, narrowed, point, limits)
    widgets.show_cautions("limits", "one_reading", "local_law")
    widgets.download(table, "reading_distribution")
    widgets.how_counted("reading_distribution")


def choose(page: Page) -> tuple[Page, str, pd.DataFrame]:
    """Let the reader choose complaint, component and test point."""
    left, middle, right = st.columns(3)
    with left:
        complaint = complaint_of(page.rows("reading_choices"), page)
    narrowed = page
    if complaint:
        kind, symptom = complaint
        narrowed = page.narrowed(appliance_kind=(kind,), symptom=(symptom,))
    table = narrowed.measure("reading_distribution")
    with middle:
        component = component_of(table, page)
    table = table[table["component"] == component] if component else table
    if table.empty:
        st.info(
            "No reading is in this choice. A source without readings cannot support this page; "
            "otherwise clear a filter, or choose any complaint and any component."
        )
        st.stop()
    with right:
        point = point_of(table, page)
    return narrowed, point, table


def complaint_of(choices: pd.DataFrame, page: Page) -> tuple[str, str] | None:
    """Let the person pick one complaint or none."""
    keys = [f"{row.appliance_kind}/{row.symptom}" for row in each_row(choices)]

    def label(key: str) -> str:
        if key == ANY:
            return "any"
        kind, symptom = key.split("/", 1)
        return words.capitalized(
            f"{page.labels.of('appliance_kind', kind)}: {page.labels.of('symptom', symptom, kind)}"
        )

    chosen = st.selectbox(
        "Complaint", [ANY, *keys], format_func=label, key="complaint", bind="query-params"
    )
    if not chosen:
        return None
    kind, symptom = chosen.split("/", 1)
    return kind, symptom


def component_of(table: pd.DataFrame, page: Page) -> str:
    """Let the person pick one component or none."""
    return st.selectbox(
        "Component",
        [ANY, *sorted(table["component"].dropna().unique())],
        format_func=lambda id_: page.labels.of("component", id_) if id_ else "any",
        key="component",
        bind="query-params",
    )


def point_of(table: pd.DataFrame, page: Page) -> str:
    """Let the person pick the test point, the most used ones first; the URL holds its label."""
    counts = table.set_index("test_point")["readings"].sort_values(ascending=False, kind="stable")
    set_choice("point", st.session_state.pop("point_wanted", None), "row")
    return st.selectbox(
        "Test point",
        counts.index.tolist(),
        format_func=page.point_name,
        key="point",
        bind="query-params",
    )


def draw_bars(narrowed: Page, point: str, row: Row) -> dict[str, Any] | None:
    """Draw the readings; return the bar that was clicked."""
    bins = narrowed.rows("reading_bins", test_point=point)
    if bins.empty:
        return None
    bins = bins.assign(first=bins["smallest"], last=bins["largest"])  # as the records have them
    bins, limits = shown(bins, row["ucum"], VALUES), shown(row, row["ucum"], EDGES)
    event = widgets.chart(
        charts_readings.distribution(bins, limits, row["unit"]),
        alt=f"Readings at {row['label']}: median (5%–95%) {row['range_words']}, {row.n:,} with a "
        f"number, {row.over_limit:,} open.",
        key=f"bins_{point}",
        on_select="rerun",
        selection_mode="points",
    )
    hidden = charts_readings.beyond(bins, charts_readings.view_of(bins, limits))
    more = f" {words.counted(hidden, 'reading')} further out: double-click the chart to see all."
    st.caption(reading_words.LEGEND + (more if hidden else ""))
    return reading_words.picked_bar(event)


def drift(narrowed: Page, point: str, row: Row) -> None:
    """Draw the median of parts that stayed, month by month."""
    months = narrowed.rows("reading_drift", test_point=point)
    if (months["n"] > 0).sum() >= 2:
        st.subheader("Do readings drift?")
        text = reading_words.drift_text(months, row["ucum"])
        st.markdown(text)
        widgets.chart(
            charts_readings.drift(
                shown(months, row["ucum"], ["p25", "p50", "p75"]),
                shown(row, row["ucum"], EDGES),
                row["unit"],
            ),
            alt=text,
            key="drift",
        )
        st.caption(
            "Only parts that were not replaced: a drift comes from meters, the supply or the work."
        )


def all_points(table: pd.DataFrame) -> None:
    """List every test point; a click shows it."""
    st.subheader("All test points")
    st.caption("Click a test point to see its readings.")
    listed = table.sort_values("readings", ascending=False, kind="stable", ignore_index=True)
    row = widgets.clicked_row(listed, POINTS, "points")
    wanted = None if row is None else listed["test_point"].iloc[row]
    if wanted is not None and wanted != st.session_state.get("point_clicked"):
        st.session_state["point_clicked"] = st.session_state["point_wanted"] = wanted
        st.rerun()
    st.session_state["point_clicked"] = wanted


def details(page: Page, narrowed: Page, point: str, limits: pd.DataFrame) -> None:
    """Show replaced parts and parts that stayed apart, and where the limits come from."""
    with st.expander("Details: parts replaced or not, and the source of the limits"):
        rows = []
        for label, is_replaced in (("all", None), ("replaced", True), ("not replaced", False)):
            found = narrowed.measure("reading_distribution", is_replaced=is_replaced)
            worded = reading_words.distributions(found, page.point_name)
            rows.append(worded[worded["test_point"] == point].assign(label=label))
        widgets.table(pd.concat(rows, ignore_index=True), STATES)
        show_limits(limits)


if __name__ == "__main__":
    shell.show(draw)
