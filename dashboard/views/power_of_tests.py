"""Power of tests: what a reading outside, or inside, says of a cause."""

import math

import pandas as pd
import streamlit as st

from dashboard.diagnosis import charts as charts_diagnosis
from dashboard.text import format as words
from dashboard.ui import shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page


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
    power["jobs"] = power["tp"] + power["fp"] + power["fn"] + power["tn"]
    counts = power.groupby(["appliance_kind", "symptom"])["jobs"].max()
    kind, symptom = choose_complaint(counts, page.labels)
    rows = power[(power["appliance_kind"] == kind) & (power["symptom"] == symptom)].copy()
    rows["test"] = [page.labels.of("test_point", point) for point in rows["test_point"]]
    rows["cause_label"] = [page.labels.of("cause", cause, kind) for cause in rows["cause"]]
    cause = choose_cause(page, kind, rows)
    chosen = tests_of(cause, rows)
    headline(page, cause, chosen, kind)
    all_tests(chosen, power)


def choose_cause(page: Page, kind: str, rows: pd.DataFrame) -> str:
    """Let the reader choose a cause, the most frequent one first."""
    causes = rows.groupby("cause")["tp"].max() + rows.groupby("cause")["fn"].max()
    causes = causes.sort_index().sort_values(ascending=False, kind="stable")
    cause = st.selectbox(
        "Cause",
        list(causes.index),
        format_func=lambda id_: page.labels.of("cause", id_, kind),
        key="cause",
        bind="query-params",
    )
    return cause


def tests_of(cause: str, rows: pd.DataFrame) -> pd.DataFrame:
    """Return the tests of a cause with their figures in words."""
    chosen = rows[rows["cause"] == cause].sort_values(
        ["register_outside", "test_point"], ascending=[False, True]
    )
    return chosen


def headline(page: Page, cause: str, chosen: pd.DataFrame, kind: str) -> None:
    """Say how often the most telling test reads outside limits."""
    name = page.labels.of("cause", cause, kind)

    chosen["ratio_outside"] = [
        ratio_words(r.lr_pos, r.lr_pos_low, r.lr_pos_high) for r in chosen.itertuples()
    ]
    chosen["ratio_inside"] = [
        ratio_words(r.lr_neg, r.lr_neg_low, r.lr_neg_high) for r in chosen.itertuples()
    ]
    chosen["sens_bounds"] = [
        bounds_words(r.sens_lowest, r.sens_highest) for r in chosen.itertuples()
    ]
    chosen["spec_bounds"] = [
        bounds_words(r.spec_lowest, r.spec_highest) for r in chosen.itertuples()
    ]
    chosen["unverified"] = chosen["unverified_outside"] + chosen["unverified_inside"]

    sharp = drawn(chosen[chosen["register_outside"] >= 0.5], "sensitivity", "sens_low", "sens_high")
    best = chosen[(chosen["tp"] + chosen["fn"] > 0) & (chosen["register_outside"] >= 0.5)]
    best = best.sort_values("lr_pos", ascending=False, kind="stable")  # what moves the odds most
    if best.empty:
        st.markdown(
            f"**Cannot be said:** no test that answers for *{name}* was made on a job where it was "
            "the cause."
        )
    else:
        first = best.iloc[0]
        seen = words.rate(first.tp, first.tp + first.fn, first.sens_low, first.sens_high)
        alarms = words.rate(first.fp, first.fp + first.tn, 1 - first.spec_high, 1 - first.spec_low)
        st.markdown(
            f"With **{name}** the cause, *{first.test}* read outside limits in {seen}. With "
            f"another cause it did so in {alarms}."
        )
        widgets.chart(
            charts_diagnosis.test_shares(sharp, "outside limits when this was the cause"),
            alt="; ".join(f"{row.label}: {row.words}" for row in sharp.itertuples()),
            key="sensitivity",
        )


def all_tests(chosen: pd.DataFrame, power: pd.DataFrame) -> None:
    """List every test of the cause."""
    widgets.table(
        chosen,
        {
            "test": st.column_config.TextColumn("Test", width="medium"),
            "tp": st.column_config.NumberColumn("Outside, this cause"),
            "fn": st.column_config.NumberColumn("Inside, this cause"),
            "fp": st.column_config.NumberColumn("Outside, another"),
            "tn": st.column_config.NumberColumn("Inside, another"),
            "sensitivity": st.column_config.NumberColumn("Sensitivity", format="percent"),
            "sens_low": st.column_config.NumberColumn("95 % from", format="percent"),
            "sens_high": st.column_config.NumberColumn("to", format="percent"),
            "sens_bounds": st.column_config.TextColumn("Unsettled jobs could make it"),
            "specificity": st.column_config.NumberColumn("Specificity", format="percent"),
            "spec_low": st.column_config.NumberColumn("from", format="percent"),
            "spec_high": st.column_config.NumberColumn("to ", format="percent"),
            "ratio_outside": st.column_config.TextColumn(
                "Outside: odds times", help="likelihood ratio of a reading outside limits"
            ),
            "ratio_inside": st.column_config.TextColumn("Inside: odds times"),
            "not_made": st.column_config.NumberColumn("Not made", help="jobs with this cause"),
            "doubtful": st.column_config.NumberColumn("Doubtful only"),
            "opinion_only": st.column_config.NumberColumn("Opinion only"),
            "unverified": st.column_config.NumberColumn("Cause never settled"),
            "register_outside": st.column_config.NumberColumn("Register says", format="percent"),
        },
    )
    st.caption(
        "The test that found the fault is always written down; the same test when it missed "
        "often is not. So sensitivity read from records is too high (verification bias), and it "
        "says nothing of jobs where the test was not made. “Unsettled jobs could make it” gives "
        "the range that the jobs of unknown cause allow."
    )
    widgets.download(power.drop(columns=["jobs"]), "power_of_tests")
    widgets.show_cautions("one_reading", "limits")
    widgets.how_counted("power_of_tests")


def ratio_words(value: float, low: float, high: float) -> str:
    """Write a likelihood ratio with its interval; a missing one as a dash."""
    if words.is_missing(value):
        return "–"
    written = ["∞" if math.isinf(each) else f"{each:.2g}" for each in (value, low, high)]
    return f"{written[0]} ({written[1]}–{written[2]})"


def bounds_words(low: float, high: float) -> str:
    """Write how far the jobs of unknown cause could move a share."""
    return "–" if words.is_missing(low) else words.percent_range(low, high)


def drawn(rows: pd.DataFrame, value: str, low: str, high: str) -> pd.DataFrame:
    """Return one share per test for the picture, tests that were made with the cause only."""
    known = rows[rows[value].notna()]
    hits, misses = ("tp", "fn") if value == "sensitivity" else ("tn", "fp")
    return pd.DataFrame(
        {
            "label": known["test"],
            "value": known[value],
            "low": known[low],
            "high": known[high],
            "words": [
                words.rate(h, h + m, lo, hi)
                for h, m, lo, hi in zip(
                    known[hits], known[misses], known[low], known[high], strict=True
                )
            ],
        }
    )


if __name__ == "__main__":
    shell.show(draw)
