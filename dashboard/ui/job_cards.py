"""A few jobs as cards: texts too long for a table's columns wrap here on any screen."""

from collections.abc import Sequence
from dataclasses import dataclass

import streamlit as st

from dashboard.text.escape_markdown import verbatim
from dashboard.ui import navigation


@dataclass(frozen=True)
class JobCard:
    """One job: its number, and what to say of it line by line."""

    job_id: str
    lines: Sequence[str]


def show(cards: Sequence[JobCard], title: str, key: str) -> None:
    """Show jobs as cards; a click on a number opens the job.

    `title`: what the list is, as in "Back to …"; `key`: unique on the page.
    """
    numbers = [card.job_id for card in cards]
    for card in cards:
        with st.container(border=True, horizontal=True):
            if st.button(f"Job {verbatim(card.job_id)}", key=f"{key}_{card.job_id}"):
                navigation.open_job(card.job_id, title, numbers, st.session_state["page"].name)
            st.markdown("  \n".join(verbatim(line) for line in card.lines))
