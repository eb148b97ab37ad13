"""Limit review: failed and good parts on each side of a line that the reader moves."""

from typing import cast

import pandas as pd
import streamlit as st

from dashboard.readings import review_charts as charts_review
from dashboard.readings import review_sentences as review_words
from dashboard.readings import sentences as reading_words
from dashboard.readings.compute import limit_curve
from dashboard.readings.shown_units import shown
from dashboard.rows import Row
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import job_table, shell, widgets
from dashboard.ui.by_click import set_choice
from dashboard.ui.page import Page

TEXT = st.column_config.TextColumn
MOST_STEPS = 200  # places of the line
SHOWN = {
    "label": TEXT("Test point"),
    "parts": TEXT("Parts"),
    "separates": TEXT(
        "Ranks correctly", help="chance that a failed part reads worse than a good one"
    ),
    "best": TEXT("Best limit"),
    "register": TEXT("Limit in use"),
}
WRONG_SIDE = {
    "job_id": TEXT("Job"),
    "closed": TEXT("Closed"),
    "technician": TEXT("Technician"),
    "read": TEXT("Reading"),
    "part": TEXT("Part"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("Are the limits in the right place?")
    review = page.measure("limit_review")
    if review.empty:
        st.info(
            "No test point has readings of both failed and good parts in this filter. It needs "
            "readings, part lines and root causes; otherwise clear a filter."
        )
        widgets.how_counted("limit_review")
        st.stop()
    listed = review_words.reviewed(review, page.point_name)
    finding = st.container()
    row = choose_point(listed)
    limits = page.rows("limits", test_point=row["test_point"])
    with finding:
        st.markdown(review_words.one_point(row))
        st.caption(
            f"A limit can be suggested at {int(listed['is_suggested'].sum())} of "
            f"{words.counted(len(listed), 'test point')}. A suggestion is a reason to look, not a "
            "new limit: a changed limit goes into limits.csv with its day."
        )
    widgets.show_cautions(*reading_words.caution_ids(limits.iloc[0], cautions()))
    readings = page.rows("limit_readings", test_point=row["test_point"])
    the_line(row, readings)
    all_points(listed)
    details(row, readings)
    widgets.show_cautions("limits", "one_reading")
    widgets.download(review, "limit_review")
    widgets.how_counted("limit_review")


def choose_point(listed: pd.DataFrame) -> pd.Series:
    """Let the reader choose a test point; those with a suggested limit come first."""
    points = listed.set_index("test_point", drop=False)
    set_choice("point", st.session_state.pop("point_wanted", None), "row")
    point = st.selectbox(
        "Test point",
        points.index.tolist(),
        format_func=lambda id_: points.loc[id_, "label"],
        key="point",
        bind="query-params",
    )
    return cast(pd.Series, points.loc[point])


def the_line(row: Row, readings: pd.DataFrame) -> None:
    """Draw both histograms with the line, count each side, and list the parts on the wrong side."""
    places = line_places(row, readings)
    if len(places) < 2:
        st.info("These readings are all open or all alike: there is no place for a line.")
        return
    first = row["best_limit"] if row["is_suggested"] else middle_limit(row, places)
    line = st.select_slider(
        "Move the line",
        places,
        value=min(places, key=lambda place: abs(place - first)),
        format_func=lambda value: words.significant(value, row["unit"], 4),
        key=f"line_{row['test_point']}",
    )
    is_above = row["condemns"] == "above"
    sentence = review_words.near_the_line(readings, line, is_above, row["unit"])
    st.markdown(sentence)
    widgets.chart(
        charts_review.histograms(
            shown(readings, row["unit"], ["value"]),
            words.as_shown(line, row["unit"]),
            words.unit_sign(row["unit"]),
        ),
        alt=sentence.replace("*", ""),
        key="histograms",
    )
    opened = readings[readings["value"].isna()]
    if not opened.empty:
        failed = int(opened["is_failed"].sum())
        st.caption(
            f"Open readings are not drawn and lie above every number: {failed:,} failed and "
            f"{len(opened) - failed:,} good parts."
        )
    wrong_side(row, readings, line, is_above)


def middle_limit(row: Row, places: list[float]) -> float:
    """Return the limit in use on the side where failed parts lie, else the middle place."""
    edge = row["register_high"] if row["condemns"] == "above" else row["register_low"]
    return places[len(places) // 2] if words.is_missing(edge) else float(edge)


def line_places(row: Row, readings: pd.DataFrame) -> list[float]:
    """Return where the line can lie: values read, thinned out, and the limits known."""
    values = readings["value"].dropna().drop_duplicates().sort_values()
    if values.empty:
        return []
    thinned = values.iloc[:: max(1, len(values) // MOST_STEPS)].tolist()
    edges = [row[name] for name in ("best_limit", "register_low", "register_high")]
    within = [e for e in edges if not words.is_missing(e) and values.min() <= e <= values.max()]
    return sorted({float(each) for each in [*thinned, values.max(), *within]})


def wrong_side(row: Row, readings: pd.DataFrame, line: float, is_above: bool) -> None:
    """List the failed parts that the line would miss and the good parts that it would fail."""
    is_right = readings["value"].isna() | (readings["value"] > line)
    wrong = readings[(is_right == is_above) != readings["is_failed"]].reset_index(drop=True)
    st.markdown(
        f"{words.counted(len(wrong), 'part')} on the wrong side of the line. Click one to open its "
        "job."
    )
    if wrong.empty:
        return
    worded = wrong.assign(
        closed=[words.day(each) for each in wrong["closed_on"]],
        read=[
            "open" if words.is_missing(value) else words.significant(value, row["unit"], 4)
            for value in wrong["value"]
        ],
        part=["failed, missed" if failed else "good, failed" for failed in wrong["is_failed"]],
    )
    job_table.opening(worded, WRONG_SIDE, f"limit review: {row['label']}", "wrong_side")


def all_points(listed: pd.DataFrame) -> None:
    """List every test point; a click shows it."""
    st.subheader("All test points")
    st.caption("Click a test point to see it.")
    row = widgets.clicked_row(listed, SHOWN, "points")
    wanted = None if row is None else listed["test_point"].iloc[row]
    if wanted is not None and wanted != st.session_state.get("limit_clicked"):
        st.session_state["limit_clicked"] = st.session_state["point_wanted"] = wanted
        st.rerun()
    st.session_state["limit_clicked"] = wanted


def details(row: Row, readings: pd.DataFrame) -> None:
    """Draw every possible limit as a curve, and say how far to trust it."""
    with st.expander("Details"):
        curve = limit_curve(readings)
        if not curve.empty:
            widgets.chart(
                charts_review.roc(curve, row),
                alt=f"ROC curve of {row['label']}: area {row['auc']:.2f}.",
                key="curve",
            )
        st.markdown(
            f"Area under the curve {row['auc']:.2f} ({row['auc_low']:.2f}–{row['auc_high']:.2f}). "
            "The best limit has the largest Youden index. The readings themselves decided which "
            "parts were replaced, so the curve flatters the limit in use; a test that was not made "
            "is not here."
        )


if __name__ == "__main__":
    shell.show(draw)
