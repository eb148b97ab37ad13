"""Root causes: what is behind a complaint."""

import pandas as pd
import streamlit as st

from dashboard.charts import theme as charts
from dashboard.rows import Row, each_row
from dashboard.text import format as words
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.page import Page

NOT_ESTABLISHED = ("not recorded", "cause_unknown", "no_fault_found")
MOST_BARS = 15


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What was behind the complaint?")
    is_recorded = st.toggle(
        "As first recorded",
        key="recorded",
        bind="query-params",
        help="Off: where a callback found another component, its cause counts (the final cause).",
    )
    mix = page.measure("root_cause_mix", use_recorded=is_recorded)
    mix = mix[mix["symptom"] != "no_complaint"]
    if mix.empty:
        st.info("No repaired job with a complaint matches these filters. Remove a filter.")
        st.stop()
    kind, symptom = choose(page, mix)
    rows = causes_of(page, kind, mix, symptom)
    st.markdown(answer(rows, page.settings["min_jobs"]))
    chosen = causes_in_full(page, f"{kind}/{symptom}", rows)
    if chosen is not None:
        navigation.go(
            "jobs", list="cause", kind=kind, complaint=symptom, cause=chosen,
            recorded=str(is_recorded).lower(),
        )  # fmt: skip
    widgets.how_counted("root_cause_mix")


def choose(page: Page, mix: pd.DataFrame) -> tuple[str, str]:
    """Let the reader choose a complaint; the one least often fixed first time comes first."""
    complaints = by_fix(mix, page.settings["min_jobs"])
    key = st.selectbox(
        "Complaint",
        [f"{row.appliance_kind}/{row.symptom}" for row in each_row(complaints)],
        format_func=lambda each: complaint_label(each, page),
        key="complaint",
        bind="query-params",
    )
    kind, symptom = key.split("/", 1)
    return kind, symptom


def by_fix(mix: pd.DataFrame, min_jobs: int) -> pd.DataFrame:
    """Return the complaints, lowest first-time fix first; those of too few jobs last."""
    fixed = (mix["first_time_fix"] * mix["mature"]).fillna(0)
    complaints = (
        mix.assign(fixed=fixed)
        .groupby(["appliance_kind", "symptom"], as_index=False)[["jobs", "mature", "fixed"]]
        .sum()
    )
    enough = complaints["mature"] >= min_jobs
    rate = (complaints["fixed"] / complaints["mature"].where(enough)).fillna(1.0)
    order = ["rate", "jobs", "appliance_kind", "symptom"]
    return complaints.assign(rate=rate).sort_values(order, ascending=[True, False, True, True])


def causes_of(page: Page, kind: str, mix: pd.DataFrame, symptom: str) -> pd.DataFrame:
    """Return the causes of one complaint with labels, rates in words and colors."""
    rows = mix[(mix["appliance_kind"] == kind) & (mix["symptom"] == symptom)]
    causes = rows["cause"]
    return rows.assign(
        id=causes,
        label=[words.capitalized(page.labels.of("cause", cause, kind)) for cause in causes],
        words=[words.rate(r.jobs, r.of_jobs, r.low, r.high) for r in each_row(rows)],
        range=[words.percent_range(r.low, r.high) for r in each_row(rows)],
        colour=[charts.QUIET if c in NOT_ESTABLISHED else charts.SHOP for c in causes],
    )


def causes_in_full(page: Page, key: str, rows: pd.DataFrame) -> str | None:
    """Draw and list the causes; return the one that was clicked."""
    currency = page.currency
    shown = {
        "label": columns.text("Root cause"),
        "jobs": columns.count("Jobs"),
        "share": columns.percent("Share"),
        "median_minutes": columns.minutes("Time on job", help="median"),
        "first_time_fix": columns.percent("First-time fix"),
    }
    event = widgets.chart(
        charts.share_bars(rows.head(MOST_BARS)),
        alt=f"Root causes of {complaint_label(key, page)}: "
        + "; ".join(f"{row.label} {row.words}" for row in each_row(rows.head(8))),
        key="mix",
        title=leading(rows),
        on_select="rerun",
        selection_mode="points",
    )
    st.caption("Click a bar or a row to see its jobs.")
    row = widgets.clicked_row(rows, shown, "cause_rows")
    widgets.download(rows, "root_cause_mix", shown, ["id", "label", "words", "range", "colour"])
    with st.expander("Details: ranges and parts"):
        detail = widgets.clicked_row(
            rows,
            {
                "label": columns.text("Root cause"),
                "range": columns.text("95% range of the share"),
                "mature": columns.count("Jobs in first-time fix"),
                "median_parts_cost": columns.money(
                    "Parts cost", currency, is_unit_price=True, help="median"
                ),
            },
            "cause_details",
        )
        st.caption(
            "A recorded cause is often the part that was replaced: the mix is partly a mix of "
            "parts sold. A one-shot part, such as a thermal fuse, is often the effect of something "
            "else."
        )
    row = detail if row is None else row
    return rows["cause"].iloc[row] if row is not None else widgets.clicked(event)


def leading(rows: pd.DataFrame) -> str:
    """Say how much the first established causes make up together."""
    known = rows[~rows["cause"].isin(NOT_ESTABLISHED)].head(3)
    if known.empty:
        return "No cause is recorded."
    count = words.counted(int(rows["of_jobs"].iloc[0]), "job")
    share = words.percent(known["share"].sum())
    subject = (
        "The most frequent cause explains"
        if len(known) == 1
        else (f"The {len(known)} most frequent causes explain")
    )
    return f"{subject} {share} of {count}."


def complaint_label(key: str, page: Page) -> str:
    """Write "Refrigerator: Fridge warm, freezer cold"; it is in the address, so without a count."""
    kind, symptom = key.split("/", 1)
    name = f"{page.labels.of('appliance_kind', kind)}: {page.labels.of('symptom', symptom, kind)}"
    return words.capitalized(name)


def answer(rows: pd.DataFrame, min_jobs: int) -> str:
    """Say the most frequent established cause and how many jobs have none."""
    known = rows[~rows["cause"].isin(NOT_ESTABLISHED)]
    silent = int(rows.loc[rows["cause"].isin(NOT_ESTABLISHED), "jobs"].sum())
    if known.empty:
        return f"**Cannot be said:** none of the {rows['jobs'].sum():,} jobs has a recorded cause."
    first: Row = known.iloc[0]
    text = f"**Most often: {first['label']}**, {first['words']}."
    if silent:
        text += f" {words.counted(silent, 'job')} without an established cause."
    if rows["jobs"].sum() < min_jobs:
        text += " Too few jobs to say more than the counts."
    return text


if __name__ == "__main__":
    shell.show(draw)
