"""How reliable is each test: its hit rate next to its false alarms, for one cause."""

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as diagnosis_charts
from dashboard.diagnosis.reliability_sentences import best_test, reliability
from dashboard.rows import each_row
from dashboard.text.cautions import dangers
from dashboard.ui import columns, navigation, shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page
from dashboard.views.sections import jobs_tested

TEXT = st.column_config.TextColumn
SHOWN = {
    "label": TEXT("Test"),
    "hit_words": TEXT("Hit rate", help="outside limits when this was the cause"),
    "alarm_words": TEXT("False alarms", help="outside limits when it was another cause"),
    "not_made": columns.count("Not made", help="jobs with this cause"),
    "register_outside": columns.percent("Register's hit rate"),
}
DETAILS = {
    "label": TEXT("Test"),
    "counted": columns.count("Jobs counted"),
    "ratio_outside": TEXT("Odds × if outside", help="likelihood ratio of a reading outside"),
    "ratio_inside": TEXT("Odds × if inside", help="likelihood ratio of a reading inside"),
    "hit_bounds": TEXT("Hit rate with unsettled"),
    "left_out": TEXT("Not counted"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What is each test worth?")
    power = page.measure("power_of_tests")
    if power.empty:
        st.info(
            "Cannot be said from these records: no reading of a complaint whose tests the register "
            "knows is in this filter."
        )
        st.stop()
    counts = power[["tp", "fp", "fn", "tn"]].sum(axis=1)
    counts = counts.groupby([power["appliance_kind"], power["symptom"]]).max()
    kind, symptom = choose_complaint(counts, page.labels)
    rows = power[(power["appliance_kind"] == kind) & (power["symptom"] == symptom)]
    cause = choose_cause(page, kind, rows)
    chosen = reliability(rows[rows["cause"] == cause])
    chosen["label"] = [page.labels.of("test_point", point) for point in chosen["test_point"]]
    st.markdown(best_test(chosen, page.labels.of("cause", cause, kind)))
    widgets.show_cautions(*dangers([kind], chosen["test_point"]))
    draw_tests(page, kind, symptom, chosen)
    details(kind, symptom, chosen)
    widgets.download(power, "power_of_tests")
    widgets.show_cautions("one_reading", "limits")
    widgets.how_counted("power_of_tests")


def choose_cause(page: Page, kind: str, rows: pd.DataFrame) -> str:
    """Let the reader choose a cause, the most frequent one first."""
    causes = rows.groupby("cause")["tp"].max() + rows.groupby("cause")["fn"].max()
    causes = causes.sort_index().sort_values(ascending=False, kind="stable")
    return st.selectbox(
        "Cause",
        list(causes.index),
        format_func=lambda id_: page.labels.of("cause", id_, kind),
        key="cause",
        bind="query-params",
    )


def draw_tests(page: Page, kind: str, symptom: str, chosen: pd.DataFrame) -> None:
    """Draw and list the tests of a cause; a click on a dot or row shows the jobs behind it."""
    drawn = chosen[chosen["answers"] & (chosen["tp"] + chosen["fn"] > 0)]
    event = None
    if not drawn.empty:
        event = widgets.chart(
            diagnosis_charts.hits_and_false_alarms(drawn),
            alt="; ".join(
                f"{row.label}: hit rate {row.hit_words}, false alarms {row.alarm_words}"
                for row in each_row(drawn)
            ),
            key="reliability",
            on_select="rerun",
            selection_mode="points",
        )
    st.caption("Click a dot or a row for the jobs behind it.")
    row = widgets.clicked_row(chosen, SHOWN, f"tests_{kind}_{symptom}")
    label = widgets.clicked(event, field="y") if row is None else chosen["label"].iloc[row]
    found = chosen[chosen["label"] == label]
    shown = chosen.iloc[0] if found.empty else found.iloc[0]
    jobs_tested.draw_jobs(page, kind, symptom, shown["test_point"], is_settled=True)


def details(kind: str, symptom: str, chosen: pd.DataFrame) -> None:
    """Show likelihood ratios and what is not counted; a row opens the jobs counted."""
    with st.expander("Details"):
        not_counted = [
            f"{row.doubtful:,} doubtful, {row.opinion_only:,} without a verdict, "
            f"{row.unverified:,} of unknown cause"
            for row in each_row(chosen)
        ]
        counted = chosen[["tp", "fp", "fn", "tn"]].sum(axis=1)
        listed = chosen.assign(left_out=not_counted, counted=counted)
        st.caption("Click a test to see its jobs.")
        row = widgets.clicked_row(listed, DETAILS, f"details_{kind}_{symptom}")
        if row is not None:
            navigation.go(
                "jobs", list="tested", kind=kind, complaint=symptom,
                test_point=listed["test_point"].iloc[row],
            )  # fmt: skip
        st.markdown(
            "Hit rate is also called sensitivity; false alarms are one minus specificity. The test "
            "that found the fault is always written down; the same test when it missed often is "
            "not. So a hit rate from records is too high (verification bias), and says nothing of "
            "jobs where the test was not made."
        )


if __name__ == "__main__":
    shell.show(draw)
