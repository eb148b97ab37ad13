"""The section that shows why two jobs are linked as repair and callback, or why not."""

import pandas as pd
import streamlit as st

from dashboard.callbacks import link_sentences as link_words
from dashboard.ui import widgets
from dashboard.ui.page import Page

SIGNS = {True: "yes", False: "no", None: "not known"}


def show(page: Page, window_days: int) -> None:
    """Let the reader type two job numbers and show each condition of a callback."""
    st.subheader("Why are two jobs linked, or not?")
    left, right = st.columns(2)
    first = left.text_input("One job", key="first_job", placeholder="job number").strip()
    second = right.text_input("Another job", key="second_job", placeholder="job number").strip()
    if not first or not second:
        st.caption("Type two job numbers, in any order.")
        return
    if first == second:
        st.info("That is the same job twice.")
        return
    rows = page.rows("link_check", first_job=first, second_job=second)
    if rows.empty:
        st.info("One of the two is not among the loaded jobs. See What was loaded.")
        return
    pair = rows.iloc[0]
    st.markdown(link_words.verdict(pair, page.labels, window_days))
    conditions = pd.DataFrame(
        [
            {"Condition": name, "Holds": SIGNS[holds], "The records say": said}
            for name, holds, said in link_words.conditions(pair, page.labels)
        ]
    )
    widgets.table(conditions)
