"""Section: the jobs behind a pattern; a click opens the job with the readings behind each word."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.diagnosis.misdiagnosis_sentences import out_of_ten
from dashboard.evidence.chance import PartChance, share_right
from dashboard.evidence.patterns import HABITS, pattern_name
from dashboard.text import format as words
from dashboard.ui import job_table, widgets
from dashboard.ui.page import Page

TEXT = st.column_config.TextColumn
COLUMNS = {
    "job_id": TEXT("Job"),
    "closed": TEXT("Closed"),
    "complaint": TEXT("Complaint"),
    "replaced": TEXT("Replaced: what the readings said"),
    "final": TEXT("Turned out to be"),
}
DETAILS = {
    "job_id": TEXT("Job"),
    "technician": TEXT("Technician"),
    "first": TEXT("First diagnosis"),
    "minutes": TEXT("Time lost"),
    "parts": TEXT("Parts not needed"),
}


def draw_jobs(page: Page, narrowed: dict[str, str | None], chance: PartChance) -> None:
    """List the jobs of a pattern, and say how many of their parts were right."""
    jobs = page.rows("diagnosis_jobs", **narrowed)
    st.write(f"{words.counted(len(jobs), 'job')}. Click a job to open it.")
    if len(jobs) and narrowed["pattern"] in HABITS:
        right = share_right(page.rows("pattern_parts", **narrowed), chance)
        st.write(f"{out_of_ten(right).rstrip('.')}, going by the readings.")
    jobs = _worded(page, widgets.listed(jobs))
    title = pattern_name(narrowed["pattern"]).lower()
    job_table.opening(jobs, COLUMNS, title, "pattern_jobs")
    with st.expander("Details"):
        job_table.opening(jobs, DETAILS, title, "pattern_jobs_details")


def _worded(page: Page, jobs: pd.DataFrame) -> pd.DataFrame:
    kinds, column, currency = jobs["appliance_kind"], page.labels.column, page.currency
    names = zip(
        column("appliance_kind", kinds, kinds), column("symptom", jobs["symptom"], kinds),
        strict=True,
    )  # fmt: skip
    return jobs.assign(
        closed=[words.day(day) for day in jobs["closed_on"]],
        complaint=[f"{kind}: {complaint}" for kind, complaint in names],
        first=column("component", jobs["first_component"], kinds),
        final=column("cause", jobs["final_cause"], kinds),
        replaced=[_replaced(page, text) for text in jobs["replaced"]],
        minutes=[words.minutes(each) for each in jobs["wrong_min"]],
        parts=[words.money(cost, currency) for cost in jobs["wrong_parts_cost"]],
    )


def _replaced(page: Page, text: str | None) -> Any:
    """Write "control_board: not tested, …" of the query with the parts' names."""
    if words.is_missing(text):
        return None
    pairs = [each.partition(": ") for each in str(text).split(", ")]
    return ", ".join(f"{page.labels.of('component', part)}: {said}" for part, _, said in pairs)
