"""Section: the jobs behind a pattern, and the readings behind each word."""

import pandas as pd
import streamlit as st

from dashboard.evidence.chance import PartChance, share_right
from dashboard.evidence.patterns import HABITS
from dashboard.evidence.sentences import out_of_ten
from dashboard.job.sentences import evidence_lines, part_words, read_job
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import widgets
from dashboard.ui.job_table import JOB_COLUMN, with_links
from dashboard.ui.page import Page

COLUMNS = {
    "job_id": JOB_COLUMN,
    "closed_on": st.column_config.DateColumn("Closed"),
    "technician": st.column_config.TextColumn("Technician"),
    "appliance_kind": st.column_config.TextColumn("Appliance"),
    "symptom": st.column_config.TextColumn("Complaint"),
    "first": st.column_config.TextColumn("First diagnosis"),
    "recorded_cause": st.column_config.TextColumn("Recorded cause"),
    "final_cause": st.column_config.TextColumn("Turned out to be"),
    "replaced": st.column_config.TextColumn("Replaced: what the readings said"),
    "wrong_min": st.column_config.NumberColumn("Minutes lost", format="%.0f"),
    "wrong_parts_cost": st.column_config.NumberColumn("Unneeded parts", format="%.0f"),
}


def draw_jobs(page: Page, narrowed: dict[str, str | None], chance: PartChance) -> None:
    """List the jobs of a pattern, say how many of their parts were right, open one of them."""
    jobs = page.rows("diagnosis_jobs", **narrowed)
    st.write(f"{words.counted(len(jobs), 'job')}. Click a job number for its readings and parts.")
    if len(jobs) and narrowed["pattern"] in HABITS:
        right = share_right(page.rows("pattern_parts", **narrowed), chance)
        st.write(f"Going by their readings: {out_of_ten(right)}")
    jobs = widgets.listed(jobs)
    widgets.table(with_links(_labeled(page, jobs)), COLUMNS)
    opened = st.selectbox(
        "Readings behind one job",
        jobs["job_id"].tolist(),
        index=None,
        key="opened",
        bind="query-params",
        placeholder="choose a job number",
    )
    if opened:
        _draw_evidence(page, opened, chance)


def _labeled(page: Page, jobs: pd.DataFrame) -> pd.DataFrame:
    kinds, column = jobs["appliance_kind"], page.labels.column
    return jobs.assign(
        symptom=column("symptom", jobs["symptom"], kinds),
        first=column("component", jobs["first_component"], kinds),
        recorded_cause=column("cause", jobs["recorded_cause"], kinds),
        final_cause=column("cause", jobs["final_cause"], kinds),
        appliance_kind=column("appliance_kind", kinds, kinds),
        replaced=jobs["replaced"].str.replace("_", " "),
    )


def _draw_evidence(page: Page, job_id: str, chance: PartChance) -> None:
    job = read_job(lambda name: page.rows(name, job_id=job_id))
    if job is None or job.parts.empty:
        st.write("No part was written down.")
        return
    for part in job.parts.itertuples():
        st.markdown(f"**{verbatim(part_words(part, page.labels, chance))}**")
        lines = evidence_lines(job, part, page.labels)
        st.markdown("\n".join(f"- {verbatim(line)}" for line in lines))
