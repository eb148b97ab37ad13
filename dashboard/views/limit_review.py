"""Limit review: where would a limit best part condemned from sound parts?"""

import pandas as pd
import streamlit as st

from dashboard.readings import review_charts as charts_review
from dashboard.readings import sentences as reading_words
from dashboard.text import format as words
from dashboard.text.cautions import cautions
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "Are the limits in the right place?"
NUMBER = st.column_config.NumberColumn
SHOWN = {
    "label": st.column_config.TextColumn("Test point", width="medium"),
    "unit": st.column_config.TextColumn("Unit"),
    "n_condemned": NUMBER("Condemned"),
    "n_good": NUMBER("Sound"),
    "auc": NUMBER("Area", format="%.2f", help="Chance that the reading orders two parts rightly."),
    "auc_low": NUMBER("95 % from", format="%.2f"),
    "auc_high": NUMBER("to", format="%.2f"),
    "condemns": st.column_config.TextColumn("Condemned lie"),
    "best_limit": NUMBER("Best limit", format="%.4g"),
    "best_low": NUMBER("from", format="%.4g"),
    "best_high": NUMBER("up to", format="%.4g"),
    "register_low": NUMBER("Register from", format="%.4g"),
    "register_high": NUMBER("to", format="%.4g"),
    "youden": NUMBER("Youden J", format="%.2f"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    review = page.measure("limit_review")
    if review.empty:
        st.info(
            "No test point has readings of both condemned and sound parts in this filter. It needs "
            "readings, part lines and root causes; otherwise clear a filter at the left."
        )
        widgets.how_counted("limit_review")
        st.stop()
    review["label"] = [page.labels.of("test_point", id_) for id_ in review["test_point"]]
    review["ucum"] = review["unit"]
    review["unit"] = [words.unit_sign(unit) for unit in review["unit"]]
    suggested = review[review["is_suggested"]]

    st.markdown(
        f"A limit can be suggested at **{len(suggested)} of "
        f"{words.counted(len(review), 'test point')}**. For the others there are fewer than 30 "
        "failed or good parts in settled jobs, or the reading does not separate them well, or no "
        "number can be the limit: a contact that is closed or open, a limit that depends on the "
        "nameplate, failed parts that read open, a test that cannot see the failure."
    )
    ordered, point = choose_point(page, review)
    one_point(page, point, review)
    all_points(ordered, review)


def choose_point(page: Page, review: pd.DataFrame) -> tuple[pd.DataFrame, str]:
    """Let the reader choose a test point; the most telling ones come first."""
    ordered = review.sort_values(
        ["is_suggested", "auc", "test_point"], ascending=[False, False, True]
    )
    point = st.selectbox(
        "Test point",
        ordered["test_point"].tolist(),
        format_func=lambda id_: page.labels.of("test_point", id_),
        key="point",
        bind="query-params",
    )
    return ordered, point


def one_point(page: Page, point: str, review: pd.DataFrame) -> None:
    """Say what one test point tells, with its curve."""
    row = review.set_index("test_point").loc[point]
    limits = page.rows("limits", test_point=point)
    widgets.show_cautions(*reading_words.caution_ids(limits.iloc[0], cautions()))
    st.markdown(told(row))
    curve = page.rows("limit_curve", test_point=point)
    if not curve.empty:
        widgets.chart(
            charts_review.roc(curve, row),
            alt=f"ROC curve of {row.label}: area {row.auc:.2f}.",
            key="curve",
        )
    st.warning(
        "The readings themselves decided which parts were condemned, so that the curve flatters "
        "the limit in use; and a test that was not made is not here. A suggestion is a reason to "
        "look, not a new limit: a changed limit goes into limits.csv with its day.",
        icon=":material/balance:",
    )


def all_points(ordered: pd.DataFrame, review: pd.DataFrame) -> None:
    """List every test point."""
    widgets.show_cautions("limits", "one_reading")
    st.subheader("All test points")
    widgets.table(ordered, SHOWN)
    widgets.download(review.drop(columns=["ucum"]), "limit_review")
    widgets.how_counted("limit_review")


def told(row: pd.Series) -> str:
    """Say what one test point tells, and its best limit beside the register's."""
    area = f"{row.auc:.2f} ({row.auc_low:.2f}–{row.auc_high:.2f})"
    text = (
        f"**{row.label}:** the reading orders a condemned and a sound part rightly in "
        f"{words.percent(row.auc)} of pairs (area {area}; {row.n_condemned:,} condemned, "
        f"{row.n_good:,} sound)."
    )
    if not row.is_suggested:
        reason = (
            "the area's interval reaches one half: this reading does not tell the parts apart"
            if min(row.n_condemned, row.n_good) >= 30
            else "fewer than 30 of each"
        )
        return f"{text} No limit is suggested: {reason}."
    number = lambda value: words.significant(value, row.ucum, 4)  # noqa: E731
    return (
        f"{text} Best limit: condemn **{row.condemns} {number(row.best_limit)}** "
        f"({number(row.best_low)} to {number(row.best_high)}): it finds "
        f"{words.percent(row.sensitivity)} of the condemned and spares "
        f"{words.percent(row.specificity)} of the sound. {register(row)}"
    )


def register(row: pd.Series) -> str:
    """Say the register's own limits, where they are in the unit of the reading."""
    if words.is_missing(row.register_low) and words.is_missing(row.register_high):
        return "The register has no limit in this unit to set beside it."
    inside = reading_words.band(row.register_low, row.register_high, row.ucum)
    outside = reading_words.beyond(row.register_fail_below, row.register_fail_above, row.ucum)
    return f"The register: inside {inside}, outside {outside}."


if __name__ == "__main__":
    shell.show(draw)
