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
    other_patterns,
    part_words,
    read_job,
    sentence,
    shown_patterns,
    title,
)
from dashboard.rows import each_row
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
        st.warning(
            verbatim(f"No job “{number}” is in these records. Type it as the shop wrote it.")
        )
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
            "From left to right in the order entered. The green band is inside limits; open "
            "readings are on the top line. A filled square is a part that its readings support. "
            "Whether a part was fitted before or after a visit's readings is not recorded."
        )
    for call in each_row(job.calls):
        st.markdown(f"- {verbatim(sentence(call_words(call, page.labels)))}")


def parts_and_patterns(page: Page, job: Job) -> None:
    """List parts with what the readings said of them, and the patterns that the job shows."""
    left, right = st.columns(2)
    with left:
        st.subheader("Parts")
        for part in each_row(job.parts):
            st.markdown(f"- {verbatim(sentence(part_words(part, page.labels, job.chance)))}")
        if job.parts.empty:
            st.markdown("No part was written down.")
        evidence(page, job)
    with right:
        st.subheader("Patterns")
        for name, answer, meaning in shown_patterns(job):
            if answer == "yes":
                st.markdown(f":material/flag: **{name}**: {meaning}.")
        st.caption(other_patterns(job))


def evidence(page: Page, job: Job) -> None:
    """Show under Details the readings behind each part's word: p, q and their product."""
    behind = [(part, evidence_lines(job, part, page.labels)) for part in each_row(job.parts)]
    behind = [(part, lines) for part, lines in behind if lines]
    if not behind:
        return
    with st.expander("Details: the readings behind each word"):
        for part, lines in behind:
            st.markdown(f"**{verbatim(page.labels.of('component', part.component))}**")
            st.markdown("\n".join(f"- {verbatim(line)}" for line in lines))
        st.caption(
            "How much more likely each reading is if the part is at fault than if it is not; the "
            "numbers multiply. From 10 up the readings support the part, from 0.1 down they speak "
            "strongly against it."
        )


def readings_of(page: Page, job: Job) -> None:
    """List the readings in the order entered."""
    st.subheader("Readings")
    if job.readings.empty:
        st.markdown("No reading was written down.")
    else:
        readings, rows = charts_job.frame(job, page.labels), each_row(job.readings)
        readings["limits"] = [limits_words(r.low, r.high, r.unit) for r in rows]
        widgets.table(
            readings,
            {
                "visit_no": st.column_config.NumberColumn("Visit"),
                "test": st.column_config.TextColumn("Test"),
                "written": st.column_config.TextColumn("As written"),
                "limits": st.column_config.TextColumn("Limits"),
                "zone": st.column_config.TextColumn("Verdict"),
            },
        )
    named = of_hazards(job.readings["hazards"])
    kind = str(job.facts.appliance_kind)
    widgets.show_cautions(*dict.fromkeys((*of_kind(kind), *named)), "one_reading", "limits")


if __name__ == "__main__":
    shell.show(draw)
