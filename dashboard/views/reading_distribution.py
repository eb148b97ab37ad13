"""Readings: what the meter said at a test point, against its limits."""

import pandas as pd
import streamlit as st

from dashboard.readings import charts as charts_readings
from dashboard.readings import sentences as reading_words
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page
from dashboard.views.sections.limits import show_limits

TITLE = "What did the meter say?"
ANY = ""
NUMBER = st.column_config.NumberColumn
TEXT = st.column_config.TextColumn
SHOWN = {
    "label": TEXT("Test point", width="medium"),
    "unit": TEXT("Unit"),
    "n": NUMBER("Numbers", help="Readings with a number; open ones are counted apart."),
    "over_limit": NUMBER("Open"),
    "p05": NUMBER("5 %", format="%.4g"),
    "p50": NUMBER("Median", format="%.4g"),
    "p95": NUMBER("95 %", format="%.4g"),
    "tol_low": NUMBER("Limit from", format="%.4g"),
    "tol_high": NUMBER("to", format="%.4g"),
    "share_inside": NUMBER("Inside", format="percent"),
    "share_doubtful": NUMBER("Doubtful", format="percent"),
    "share_outside": NUMBER("Outside", format="percent"),
    "sure_outside": NUMBER(
        "Surely outside", format="percent", help="Outside with 95 % allowing for the meter's error."
    ),
    "confidence": TEXT("Trust in the limit"),
}
IN_WORDS = {"p05": TEXT("5 %"), "p50": TEXT("Median"), "p95": TEXT("95 %")}
STATE_SHOWN = (
    {"label": TEXT("Parts")}
    | {key: SHOWN[key] for key in SHOWN if key not in ("label", "unit", "tol_low", "tol_high")}
    | IN_WORDS
)
DRILL_SHOWN = {
    "job_id": TEXT("Job"),
    "closed_on": st.column_config.DateColumn("Closed"),
    "technician": TEXT("Technician"),
    "complaint": TEXT("Complaint", width="medium"),
    "written_value": TEXT("As written"),
    "value": TEXT("Value"),
    "zone": TEXT("By the number"),
    "decision": TEXT("With the meter's error"),
    "p_out": NUMBER("Probability outside", format="percent"),
    "low": TEXT("Limit from"),
    "high": TEXT("to"),
    "limits_id": TEXT("Limits used", width="medium"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    narrowed, point, table = choose(page)
    limits, row = named(page, point, table)
    readings_of(page, narrowed, point, row)
    drift(narrowed, point, row)
    sources(limits, table)


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
            "otherwise clear a filter at the left or choose any complaint and any component."
        )
        st.stop()
    with right:
        point = point_of(table, page)
    return narrowed, point, table


def named(page: Page, point: str, table: pd.DataFrame) -> tuple[pd.DataFrame, pd.Series]:
    """Add labels and units."""
    table["label"] = [page.labels.of("test_point", id_) for id_ in table["test_point"]]
    table["ucum"] = table["unit"]
    table["unit"] = [words.unit_sign(unit) for unit in table["unit"]]
    row = table.set_index("test_point").loc[point]
    limits = page.rows("limits", test_point=point)

    st.markdown(reading_words.answer(row))
    widgets.show_cautions(*reading_words.caution_ids(limits.iloc[0], cautions()))
    return limits, row


def readings_of(page: Page, narrowed: Page, point: str, row: pd.Series) -> None:
    """Draw the readings and list the jobs behind them."""
    bins = narrowed.rows("reading_bins", test_point=point)
    picked = None
    if not bins.empty:
        event = widgets.chart(
            charts_readings.distribution(bins, row, row["unit"]),
            alt=f"Readings at {row['label']}: median {words.significant(row.p50, row['ucum'])}, "
            "from "
            f"{words.significant(row.p05)} (5 %) to {words.significant(row.p95)} (95 %), "
            f"{row.n:,} with a number, {row.over_limit:,} open.",
            key=f"bins_{point}",
            on_select="rerun",
            selection_mode="points",
        )
        picked = reading_words.picked_bar(event)
        hidden = charts_readings.beyond(bins, charts_readings.view_of(bins, row))
        st.caption(
            reading_words.LEGEND
            + (
                f" {words.counted(hidden, 'reading')} further out: double-click the chart to see "
                "all."
                if hidden
                else ""
            )
        )
    widgets.table(by_state(narrowed, point), STATE_SHOWN)
    st.subheader("Jobs behind the bar" if picked else "Jobs behind these readings")
    if not picked:
        st.caption("Click a bar to see its jobs only.")
    show_drill(narrowed, point, picked, page)


def drift(narrowed: Page, point: str, row: pd.Series) -> None:
    """Draw the median of parts that stayed, month by month."""
    months = narrowed.rows("reading_drift", test_point=point)
    if (months["n"] > 0).sum() >= 2:
        st.subheader("Drift over the months")
        widgets.chart(
            charts_readings.drift(months, row, row["unit"]),
            alt=reading_words.drift_text(months, row["unit"]),
            key="drift",
        )
        st.caption(
            "Parts that stayed only: a drift here is the meters', the supply's or the mix's."
        )


def sources(limits: pd.DataFrame, table: pd.DataFrame) -> None:
    """Show where the limits come from, and every test point."""
    st.subheader("Where the limits come from")
    show_limits(limits)
    widgets.show_cautions("limits", "one_reading", "local_law")
    st.subheader("All test points")
    widgets.table(table, SHOWN)
    widgets.download(table, "reading_distribution")
    widgets.how_counted("reading_distribution")


def complaint_of(choices: pd.DataFrame, page: Page) -> tuple[str, str] | None:
    """Let the person pick one complaint or none."""
    keys = [f"{row.appliance_kind}/{row.symptom}" for row in choices.itertuples()]

    def label(key: str) -> str:
        if key == ANY:
            return "any"
        kind, symptom = key.split("/", 1)
        return (
            f"{page.labels.of('appliance_kind', kind)}: {page.labels.of('symptom', symptom, kind)}"
        )

    chosen = st.selectbox(
        "Complaint", [ANY, *keys], format_func=label, key="complaint", bind="query-params"
    )
    return tuple(chosen.split("/", 1)) if chosen else None


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
    return st.selectbox(
        "Test point",
        counts.index.tolist(),
        format_func=lambda id_: page.labels.of("test_point", id_),
        key="point",
        bind="query-params",
    )


def by_state(narrowed: Page, point: str) -> pd.DataFrame:
    """Return the point's row over all readings, parts replaced, and parts that stayed."""
    rows = []
    for label, is_replaced in (("all", None), ("replaced", True), ("stayed", False)):
        found = narrowed.measure("reading_distribution", is_replaced=is_replaced)
        rows.append(found[found["test_point"] == point].assign(label=label))
    return reading_words.with_units(pd.concat(rows, ignore_index=True), *IN_WORDS)


def show_drill(narrowed: Page, point: str, picked: dict | None, page: Page) -> None:
    """List the readings behind the bar that was clicked, or all of them."""
    rows = narrowed.rows("reading_jobs", test_point=point, **(picked or {}))
    rows["complaint"] = page.labels.column("symptom", rows["symptom"], rows["appliance_kind"])
    widgets.table(
        reading_words.with_units(widgets.listed(rows), "value", "low", "high"), DRILL_SHOWN
    )
    widgets.download(rows, f"readings_{point}")


if __name__ == "__main__":
    shell.show(draw)
