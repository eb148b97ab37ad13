"""Sections: what each habit costs in wrong diagnoses, and how good the printed chances are."""

import streamlit as st

from dashboard.diagnosis import charts as diagnosis_charts
from dashboard.diagnosis.misdiagnosis_sentences import habit, out_of_ten
from dashboard.evidence.calibration import calibration
from dashboard.evidence.chance import PartChance, share_right
from dashboard.evidence.patterns import HABITS
from dashboard.rows import each_row
from dashboard.text.format import is_missing, percent
from dashboard.ui import widgets
from dashboard.ui.page import Page

MOST_CHANCE = 0.5  # readings that leave a part a better chance than this blame no one


def draw_habits(page: Page, chance: PartChance) -> None:
    """Write each habit with the wrong diagnoses that go with it, over the same work."""
    st.subheader("Which habits go with wrong diagnoses?")
    against = share_right(page.rows("pattern_parts", pattern="against"), chance)
    for row in each_row(page.rows("habits")):
        name = HABITS[row.habit].name
        if row.habit == "against" and not is_missing(against) and against > MOST_CHANCE:
            st.markdown(f"- {name}: {out_of_ten(against)} So no rate is shown.")
        else:
            st.markdown(f"- {habit(row, name)}")
    st.caption(
        "A habit is a way of working, not a mistake. Each line compares jobs of the same appliance "
        "and complaint (Mantel–Haenszel risk ratio with its 95% interval)."
    )


def draw_calibration(page: Page, chance: PartChance) -> None:
    """Draw under Details how often parts with each printed chance were right."""
    with st.expander("Details: how good are these chances?"):
        table = calibration(page.rows("part_outcomes"), chance)
        if table.empty:
            st.write("No part of a judged job is in these records.")
            return
        widgets.chart(
            diagnosis_charts.calibration(table),
            alt="; ".join(
                f"{row.chance:.0%} printed, {row.share:.0%} right" for row in each_row(table)
            ),
            key="calibration",
        )
        basis = (
            f"Fitted on this shop's own {chance.parts:,} replaced parts whose outcome is known: a "
            "logistic curve over the odds from the usual causes and the readings together, and "
            "from the readings alone. A part fitted after another part did not cure the job has a "
            "term of its own."
            if chance.curve is not None
            else f"Too few parts with a known outcome ({chance.parts:,}) for a curve of your own: "
            "the share that was right, updated by the readings (Bayes' rule)."
        )
        st.caption(
            f"{basis} By the setting wrong_seen_share, outcomes reveal "
            f"{percent(chance.seen_share)} of the wrong diagnoses; chances and shares allow for "
            "the rest. These records cannot check that figure. At 1, they rest on outcomes alone "
            "and are the highest they can be."
        )
