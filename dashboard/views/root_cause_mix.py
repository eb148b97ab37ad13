"""Root causes: what is behind a complaint."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.charts import theme as charts
from dashboard.text import format as words
from dashboard.ui import job_table as job_list
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "What was behind the complaint?"
SHOWN = {
    "label": st.column_config.TextColumn("Root cause", width="large"),
    "jobs": st.column_config.NumberColumn("Jobs"),
    "share": st.column_config.NumberColumn("Share", format="percent"),
    "low": st.column_config.NumberColumn("95 % from", format="percent"),
    "high": st.column_config.NumberColumn("to", format="percent"),
    "median_minutes": st.column_config.NumberColumn("Median minutes", format="%.0f"),
    "median_parts_cost": st.column_config.NumberColumn("Median parts cost", format="%.2f"),
    "first_time_fix": st.column_config.NumberColumn("First-time fix", format="percent"),
    "mature": st.column_config.NumberColumn("of jobs old enough"),
}
NOT_ESTABLISHED = ("not recorded", "cause_unknown", "no_fault_found")


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    is_recorded = st.toggle(
        "As first recorded",
        key="recorded",
        bind="query-params",
        help="Off: where a callback found another component, its cause counts (the final cause).",
    )
    mix = page.measure("root_cause_mix", use_recorded=is_recorded)
    mix = mix[mix["symptom"] != "no_complaint"]
    if mix.empty:
        st.info("No repaired job with a complaint is in this filter. Clear a filter at the left.")
        st.stop()
    key, kind, symptom = choose(page, mix)
    rows = causes_of(page, kind, mix, symptom)
    event = causes_in_full(page, key, rows)
    jobs_behind(page, event, is_recorded, kind, rows, symptom)


def choose(page: Page, mix: pd.DataFrame) -> tuple[str, str, str]:
    """Let the reader choose a complaint, the most frequent one first."""
    complaints = (
        mix.groupby(["appliance_kind", "symptom"], as_index=False)["jobs"]
        .sum()
        .sort_values(["jobs", "appliance_kind", "symptom"], ascending=[False, True, True])
    )
    keys = [f"{row.appliance_kind}/{row.symptom}" for row in complaints.itertuples()]

    key = st.selectbox(
        "Complaint",
        keys,
        format_func=lambda each: complaint_label(each, page),
        key="complaint",
        bind="query-params",
    )
    kind, symptom = key.split("/", 1)
    return key, kind, symptom


def causes_of(page: Page, kind: str, mix: pd.DataFrame, symptom: str) -> pd.DataFrame:
    """Return the causes of one complaint with labels and rates in words."""
    rows = mix[(mix["appliance_kind"] == kind) & (mix["symptom"] == symptom)].copy()
    rows["label"] = [page.labels.of("cause", cause, kind) for cause in rows["cause"]]
    rows["words"] = [words.rate(r.jobs, r.of_jobs, r.low, r.high) for r in rows.itertuples()]
    rows["colour"] = [
        charts.QUIET if cause in NOT_ESTABLISHED else charts.SHOP for cause in rows["cause"]
    ]

    st.markdown(answer(rows))
    if rows["jobs"].sum() < page.settings["min_jobs"]:
        st.caption("Too few jobs to say more than the counts.")
    return rows


def causes_in_full(page: Page, key: str, rows: pd.DataFrame) -> Any:
    """Draw and list the causes; return the one that was clicked."""
    event = widgets.chart(
        charts.share_bars(rows.head(15)),
        alt=f"Root causes of {complaint_label(key, page)}: "
        + "; ".join(f"{row.label} {row.words}" for row in rows.head(8).itertuples()),
        key="mix",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(
        "A recorded cause is often the part that was replaced: the mix is partly a mix of parts "
        "sold. A one-shot part, such as a thermal fuse, is often the effect of something else."
    )
    widgets.table(rows, SHOWN)
    widgets.download(rows.drop(columns=["words", "colour"]), "root_cause_mix")
    return event


def jobs_behind(
    page: Page, event: Any, is_recorded, kind: str, rows: pd.DataFrame, symptom: str
) -> None:
    """List the jobs behind one cause, or all."""
    st.subheader("The jobs behind it")
    cause = job_list.choose(
        "Root cause (or click one above)",
        rows["cause"].tolist(),
        job_list.clicked(event, "customdata"),
        "jobs_of_cause",
        lambda id_: id_ if id_ == job_list.ALL else page.labels.of("cause", id_, kind),
    )
    behind = page.narrowed(appliance_kind=(kind,), symptom=(symptom,)).rows(
        "jobs", cause=None if cause == job_list.ALL else cause, use_recorded=is_recorded
    )
    job_list.show(behind[behind["disposition"].isin(("repaired", "no_fault_found"))], page.labels)
    widgets.how_counted("root_cause_mix")


def complaint_label(key: str, page: Page) -> str:
    """Write "electric dryer: No heat"; the address keeps this label, so it holds no count."""
    kind, symptom = key.split("/", 1)
    return f"{page.labels.of('appliance_kind', kind)}: {page.labels.of('symptom', symptom, kind)}"


def answer(rows: pd.DataFrame) -> str:
    """Say the most frequent established cause and how many are not established."""
    known = rows[~rows["cause"].isin(NOT_ESTABLISHED)]
    silent = int(rows.loc[rows["cause"].isin(NOT_ESTABLISHED), "jobs"].sum())
    if known.empty:
        return f"**Cannot be said:** none of the {rows['jobs'].sum():,} jobs has a recorded cause."
    first = known.iloc[0]
    text = f"Most often: **{first['label']}**, {first['words']}."
    return text + (f" No established cause in {words.counted(silent, 'job')}." if silent else "")


if __name__ == "__main__":
    shell.show(draw)
