"""Meter check: does somebody's meter read otherwise than the others'?"""

import pandas as pd
import streamlit as st

from dashboard.readings import review_charts as charts_review
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

TITLE = "Does a meter read otherwise?"
NUMBER = st.column_config.NumberColumn
SHOWN = {
    "technician": st.column_config.TextColumn("Technician"),
    "label": st.column_config.TextColumn("Test point", width="medium"),
    "n": NUMBER("Readings"),
    "median": NUMBER("Median", format="%.4g"),
    "others_median": NUMBER("The others'", format="%.4g"),
    "unit": st.column_config.TextColumn("Unit"),
    "shift": NUMBER("Shift", format="percent"),
    "shift_low": NUMBER("95 % from", format="percent"),
    "shift_high": NUMBER("to", format="percent"),
    "meter_accuracy": NUMBER("Meter's accuracy ±", format="percent"),
    "p_value": NUMBER("p", format="%.4f"),
    "q_value": NUMBER("q", format="%.4f"),
    "flagged": st.column_config.CheckboxColumn("Flagged"),
}
WIDEST = 12  # test points of one technician that are drawn at most


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin(TITLE)
    check = page.measure("meter_check")
    if check.empty:
        st.info(
            "No test point has three technicians with 8 readings of good parts each: of two who "
            "differ, nothing shows which one is right. Clear a filter at the left, or load more "
            "records."
        )
        widgets.how_counted("meter_check")
        st.stop()
    check["label"] = [page.labels.of("test_point", id_) for id_ in check["test_point"]]
    check["unit"] = [words.unit_sign(unit) for unit in check["unit"]]
    flagged = check[check["flagged"]]

    st.markdown(answer(check, flagged))
    st.caption(
        "Good parts only, at a false-discovery rate of 5%. A technician is flagged where the shift "
        "from the median of the others' medians also exceeds the meter's own accuracy; the "
        "clearest is set aside and the rest compared again without those readings. It may be worn "
        "leads, a meter out of calibration, or other models on that round: compare it on a known "
        "resistor first. If every meter is off equally, nothing shows here."
    )
    one_technician(check, flagged)
    all_pairs(check)


def one_technician(check: pd.DataFrame, flagged: pd.DataFrame) -> None:
    """Draw the shifts of one technician."""
    names = sorted(check["technician"].unique())
    first = flagged["technician"].iloc[0] if len(flagged) else names[0]
    technician = st.selectbox(
        "Technician", names, index=names.index(first), key="who", bind="query-params"
    )
    own = check[check["technician"] == technician].sort_values(["q_value", "test_point"])
    drawn = own.head(WIDEST)
    widgets.chart(
        charts_review.shifts(drawn),
        alt=f"Shift of {technician}'s readings: "
        + "; ".join(f"{row.label} {row.shift:+.0%}" for row in drawn.itertuples()),
        key="shifts",
    )
    if len(own) > WIDEST:
        st.caption(f"The {WIDEST} clearest of {len(own)} test points; the table has them all.")


def all_pairs(check: pd.DataFrame) -> None:
    """List every pair of technician and test point."""
    widgets.table(check.sort_values(["q_value", "technician", "test_point"]), SHOWN)
    widgets.download(check, "meter_check")
    widgets.how_counted("meter_check")


def answer(check: pd.DataFrame, flagged: pd.DataFrame) -> str:
    """Name the technicians with flagged test points, or say that there is none."""
    pairs = f"{len(check):,} pairs of technician and test point"
    if flagged.empty:
        return f"**No meter stands out** among {pairs}."
    lines = []
    for name, rows in flagged.groupby("technician", sort=True):
        typical = rows["shift"].median()
        side = "higher" if typical > 0 else "lower"
        lines.append(
            f"**{verbatim(name)}** reads {words.percent(abs(typical))} {side} than the others at "
            f"{words.counted(len(rows), 'test point')}: {words.listed(rows['label'].tolist())}."
        )
    return " ".join(lines) + f" ({pairs} compared.)"


if __name__ == "__main__":
    shell.show(draw)
