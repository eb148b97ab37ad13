"""One job: visits, readings in the order taken, parts with evidence, callbacks, patterns."""

import streamlit as st

from dashboard.database.version import NoData
from dashboard.job import charts as charts_job
from dashboard.job.find import find_job
from dashboard.job.sentences import (
    Job,
    call_words,
    evidence_lines,
    headline,
    part_words,
    read_job,
    sentence,
    shown_patterns,
    title,
)
from dashboard.text.cautions import of_hazards, of_kind
from dashboard.text.escape_markdown import verbatim
from dashboard.text.limits import limits_words
from dashboard.ui import navigation, shell, widgets
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What happened on this job?")
    number = st.text_input(
        "Job number", key="job", bind="query-params", placeholder="as the shop wrote it"
    )
    if not number:
        st.info("Type a job number, or open one from the jobs listed on the other pages.")
        st.stop()
    try:
        job_id = find_job(page.snapshot, number.strip())
    except NoData as problem:
        st.warning(verbatim(problem))
        st.stop()
    job = read_job(lambda name: page.rows(name, job_id=job_id))
    if job is None:
        told = f"No job “{number}” is in these records. Type the number as the shop wrote it."
        st.warning(verbatim(told))
        st.stop()
    navigation.walk_bar(number.strip())
    timeline(page, job)
    parts_and_patterns(page, job)
    readings_of(page, job)


def timeline(page: Page, job: Job) -> None:
    """Draw the job from left to right, with its callbacks."""
    st.subheader(verbatim(title(job, page.labels)))
    st.markdown(verbatim(headline(job, page.labels)))
    if not job.visits.empty or not job.readings.empty:
        widgets.chart(
            charts_job.timeline(job, page.labels),
            alt=charts_job.alt_text(job, page.labels),
            key="line",
        )
        st.caption(
            "From left to right in the order written down. The green band is inside limits; open "
            "readings stand on the top line. A part is a filled square when its readings "
            "support it, an open one otherwise. The first readings of a visit and the part fitted "
            "on it: the records do not tell which came first."
        )
    for call in job.calls.itertuples():
        st.markdown(f"- {verbatim(sentence(call_words(call, page.labels)))}")


def parts_and_patterns(page: Page, job: Job) -> None:
    """List parts with their evidence, and patterns."""
    left, right = st.columns(2)
    with left:
        st.subheader("Parts")
        for part in job.parts.itertuples():
            st.markdown(f"- {verbatim(sentence(part_words(part, page.labels, job.chance)))}")
            lines = evidence_lines(job, part, page.labels)
            if lines:
                with st.expander("The readings behind it"):
                    st.markdown("\n".join(f"- {verbatim(line)}" for line in lines))
        if job.parts.empty:
            st.markdown("No part was written down.")
    with right:
        st.subheader("Patterns")
        for name, answer, meaning in shown_patterns(job):
            mark = {"yes": ":material/flag:", "no": ":material/check:"}.get(
                answer, ":material/help:"
            )
            st.markdown(
                f"{mark} **{name}**: {answer}" + (f" ({meaning})" if answer == "yes" else "")
            )


def readings_of(page: Page, job: Job) -> None:
    """List the readings in the order taken."""
    st.subheader("Readings")
    readings = charts_job.frame(job, page.labels)
    readings["limits"] = [limits_words(r.low, r.high, r.unit) for r in job.readings.itertuples()]
    widgets.table(
        readings,
        {
            "seq": st.column_config.NumberColumn("Order"),
            "visit_no": st.column_config.NumberColumn("Visit"),
            "test": st.column_config.TextColumn("Test", width="medium"),
            "written": st.column_config.TextColumn("As written"),
            "limits": st.column_config.TextColumn("Limits used"),
            "zone": st.column_config.TextColumn("Verdict"),
        },
    )
    named = of_hazards(job.readings["hazards"])
    kind = str(job.facts.appliance_kind)
    widgets.show_cautions(*dict.fromkeys((*of_kind(kind), *named)), "one_reading", "limits")


if __name__ == "__main__":
    shell.show(draw)
