"""Section: the jobs of one complaint on which one test was made; a click opens a job."""

import streamlit as st

from dashboard.text import format as words
from dashboard.ui import job_table, widgets
from dashboard.ui.page import Page

TEXT = st.column_config.TextColumn
SHOWN = {
    "job_id": TEXT("Job"),
    "closed": TEXT("Closed"),
    "technician": TEXT("Technician"),
    "read": TEXT("First reading"),
    "cause": TEXT("Turned out to be"),
}
READ = {
    "inside": "inside limits",
    "outside": "outside limits",
    "doubtful": "doubtful",
    "opinion": "no verdict",
}


def draw_jobs(
    page: Page, kind: str, symptom: str, test_point: str, *, is_settled: bool = False
) -> None:
    """List the jobs on which a test was made, newest first.

    `is_settled`: only those that count for hit rate and false alarms (a verdict, and the cause).
    """
    jobs = page.rows(
        "test_jobs", kind=kind, complaint=symptom, test_point=test_point, is_settled=is_settled
    )
    jobs = widgets.listed(jobs)
    name = page.labels.of("test_point", test_point)
    st.markdown(f"**{name}**: {words.counted(len(jobs), 'job')}. Click a job to open it.")
    kinds = [kind] * len(jobs)
    worded = jobs.assign(
        closed=[words.day(each) for each in jobs["closed_on"]],
        read=[READ[each] for each in jobs["verdict"]],
        cause=page.labels.column("cause", jobs["settled_cause"], kinds),
    )
    job_table.opening(worded, SHOWN, name, f"jobs_{kind}_{symptom}_{test_point}")
