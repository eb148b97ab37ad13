"""Mix-ups: what a fault was first taken for, and what it turned out to be."""

import pandas as pd
import streamlit as st

from dashboard.diagnosis import mix_up_sentences as sentences
from dashboard.rows import Row
from dashboard.text.cautions import dangers
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import job_table, navigation, shell, widgets
from dashboard.ui.by_click import set_choice
from dashboard.ui.page import Page
from dashboard.views.sections.mix_up_matrix import draw_matrix

TEXT = st.column_config.TextColumn
SHOWN = {
    "complaint": TEXT("Complaint"),
    "first": TEXT("First diagnosis"),
    "final": TEXT("Turned out to be"),
    "found": TEXT("Jobs", help="of the jobs first diagnosed so"),
    "test": TEXT("Test that separates them"),
}
DETAILS = {
    "first": TEXT("First diagnosis"),
    "final": TEXT("Turned out to be"),
    "share_words": TEXT("Share (95% interval)"),
    "points_to": TEXT("Outside limits points to"),
    "made": TEXT("Test done on"),
}
JOBS = {
    "job_id": TEXT("Job"),
    "closed": TEXT("Closed"),
    "complaint": TEXT("Complaint"),
    "first": TEXT("First diagnosis"),
    "final": TEXT("Turned out to be"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What gets mistaken for what?")
    pairs = page.measure("mix_ups")
    if pairs.empty:
        st.info(
            "Cannot be said from these records: it needs repairs with a recorded cause, on known "
            f"appliances, closed more than {page.settings['callback_window_days']} days ago."
        )
        st.stop()
    listed = sentences.mix_ups(pairs, page.labels)
    st.markdown(verbatim_bold(sentences.most_mistaken(pairs, listed)))
    st.caption(
        "A diagnosis is wrong when a later visit of the job corrected it, or the job came back "
        "within the window with a different cause. One that nobody called about counts as right."
    )
    judged = page.measure("misdiagnosis")
    st.caption(sentences.not_among_mix_ups(pairs, judged))
    chosen = choose(listed)
    the_jobs(page, listed, chosen)
    named = listed["telling_test"].dropna()
    widgets.show_dangers(dangers(listed["appliance_kind"], named))
    with st.expander("Details"):
        details(listed)
        draw_matrix(page, pairs)
    widgets.download(pairs, "mix_ups")
    widgets.how_counted("mix_ups")


def details(listed: pd.DataFrame) -> None:
    """List the shares and the tests that separate; a row opens its jobs."""
    if listed.empty:
        return
    st.caption("Click a mix-up to see its jobs.")
    row = widgets.clicked_row(listed, DETAILS, "pairs_details")
    if row is None:
        return
    pair: Row = listed.iloc[row]
    navigation.go(
        "jobs", list="mix_up", kind=pair.appliance_kind, complaint=pair.symptom,
        first=pair.first_component, final=pair.final_component,
    )  # fmt: skip


def verbatim_bold(finding: tuple[str, str]) -> str:
    """Write the first text in bold, then the second."""
    return f"**{verbatim(finding[0])}** {verbatim(finding[1])}"


def choose(listed: pd.DataFrame) -> str | None:
    """List every mix-up, the most frequent first; return the one chosen by click or list."""
    if listed.empty:
        return None
    st.caption("Click a mix-up for its jobs.")
    row = widgets.clicked_row(listed, SHOWN, "pairs")
    set_choice("mix_up", None if row is None else listed["mix_up"].iloc[row], "row")
    st.subheader("The jobs")
    return st.selectbox(
        "Mix-up",
        [None, *listed["mix_up"]],
        format_func=lambda each: "all of them" if each is None else each,
        key="mix_up",
        bind="query-params",
    )


def the_jobs(page: Page, listed: pd.DataFrame, chosen: str | None) -> None:
    """List the jobs of one mix-up, or of all; a click opens one."""
    if listed.empty:
        return
    row = None if chosen is None else listed.set_index("mix_up").loc[chosen]
    narrowed = {} if row is None else {
        "kind": row["appliance_kind"], "complaint": row["symptom"],
        "first": row["first_component"], "final": row["final_component"],
    }  # fmt: skip
    jobs = widgets.listed(page.rows("mix_up_jobs", **narrowed))
    st.write(sentences.counted_jobs(jobs))
    title = "mix-ups" if chosen is None else chosen
    worded = sentences.mix_up_jobs(jobs, page.labels)
    job_table.opening(worded, JOBS, title, "mix_up_jobs")


if __name__ == "__main__":
    shell.show(draw)
