"""Meter check: a sentence for each meter, and where it reads differently from the others."""

import pandas as pd
import streamlit as st

from dashboard.readings import review_charts as charts_review
from dashboard.readings import review_sentences as review_words
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.cautions import dangers
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.page import Page

TEXT = st.column_config.TextColumn
SHOWN = {
    "label": TEXT("Test point"),
    "reads": TEXT("This meter", help="median of good parts"),
    "others": TEXT("The others", help="median of their medians"),
    "shift_words": TEXT("Difference (95% interval)"),
    "verdict": TEXT("Verdict"),
}
DETAILS = {
    "label": TEXT("Test point"),
    "n": columns.count("Readings"),
    "meter_accuracy": columns.percent("Meter's accuracy ±"),
    "p_value": columns.count("p", 4),
    "q_value": columns.count("q", 4),
}
WIDEST = 12  # test points of one technician that are drawn at most


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Is a meter off?")
    check = page.measure("meter_check")
    if check.empty:
        st.info(
            "Cannot be said: no test point has three technicians with 8 readings of good parts "
            "each, and where only two differ, nothing shows which one is right. Clear a filter, or "
            "load more records."
        )
        widgets.how_counted("meter_check")
        st.stop()
    check["label"] = [page.point_name(id_) for id_ in check["test_point"]]
    st.markdown("\n".join(f"- {line}" for line in review_words.meters(check)))
    st.caption(
        "It may be worn leads, a meter out of calibration, or other models on that round. If every "
        "meter is off equally, nothing shows here."
    )
    one_technician(check)
    widgets.show_dangers(dangers((), check["test_point"].unique()))
    widgets.download(check, "meter_check")
    widgets.how_counted("meter_check")


def one_technician(check: pd.DataFrame) -> None:
    """Draw and list one technician's test points; a click leads to the readings behind one."""
    names = sorted(check["technician"].unique())
    flagged = check.loc[check["flagged"], "technician"]
    first = flagged.iloc[0] if len(flagged) else names[0]
    technician = st.selectbox(
        "Technician", names, index=names.index(first), key="who", bind="query-params"
    )
    own = check[check["technician"] == technician]
    own = review_words.shifts(own.sort_values(["q_value", "test_point"], ignore_index=True))
    drawn = own.head(WIDEST)
    event = widgets.chart(
        charts_review.shifts(drawn),
        alt=f"Readings of {technician} against the others: "
        + "; ".join(f"{row.label} {row.shift_words}" for row in each_row(drawn)),
        key="shifts",
        title=next(line for line in review_words.meters(own)).replace("*", ""),
        on_select="rerun",
        selection_mode="points",
    )
    more = f" The {WIDEST} clearest of {len(own)} are drawn." if len(own) > WIDEST else ""
    st.caption(f"Click a dot or a row for the readings behind it.{more}")
    row = widgets.clicked_row(own, SHOWN, f"points_of_{technician}")
    label = widgets.clicked(event, field="y") if row is None else own["label"].iloc[row]
    if label is not None:
        readings_behind(technician, label)
    details(own, len(check))


def readings_behind(technician: str, point: str) -> None:
    """Open the readings of a technician at a test point."""
    navigation.go("reading_distribution", technician=technician, point=point)


def details(own: pd.DataFrame, pairs: int) -> None:
    """Show the tests behind the verdicts."""
    with st.expander("Details"):
        row = widgets.clicked_row(own, DETAILS, f"details_of_{own['technician'].iloc[0]}")
        if row is not None:
            readings_behind(own["technician"].iloc[row], own["label"].iloc[row])
        st.markdown(
            f"Good parts only; {words.counted(pairs, 'pair')} of technician and test point "
            "compared, at a false-discovery rate of 5%. A meter is named where its difference also "
            "exceeds the meter's own accuracy; the clearest is set aside and the rest compared "
            "again without it."
        )


if __name__ == "__main__":
    shell.show(draw)
