"""Section: the readings behind a bar, or all of a test point, each leading to its job."""

from typing import Any

import pandas as pd
import streamlit as st

from dashboard.readings import sentences
from dashboard.rows import each_row
from dashboard.text import format as words
from dashboard.text.limits import limits_in_full
from dashboard.ui import columns, job_table, widgets
from dashboard.ui.page import Page

TEXT = st.column_config.TextColumn
SHOWN = {
    "job_id": TEXT("Job"),
    "closed": TEXT("Closed"),
    "complaint": TEXT("Complaint"),
    "written_value": TEXT("As written"),
    "verdict": TEXT("Verdict"),
}
DETAILS = {
    "job_id": TEXT("Job"),
    "technician": TEXT("Technician"),
    "limits": TEXT("Limits"),
    "zone": TEXT("By the number alone"),
    "p_out": columns.percent("Chance it is outside", help="allowing for meter error"),
}


def draw_jobs(narrowed: Page, point: str, picked: dict[str, Any] | None, name: str) -> None:
    """List the readings behind the bar that was clicked, or all of them."""
    st.subheader("Jobs behind the bar" if picked else "Jobs behind these readings")
    rows = narrowed.rows("reading_jobs", test_point=point, **(picked or {}))
    bar = "" if picked else " Click a bar for its jobs only."
    st.markdown(f"{words.counted(len(rows), 'reading')}. Click one to open its job.{bar}")
    shown = _worded(narrowed, widgets.listed(rows))
    job_table.opening(shown, SHOWN, f"readings: {name}", f"readings_{point}")
    with st.expander("Details"):
        job_table.opening(shown, DETAILS, f"readings: {name}", f"readings_{point}_details")
        widgets.download(rows, f"readings_{point}")


def _worded(page: Page, rows: pd.DataFrame) -> pd.DataFrame:
    kinds = rows["appliance_kind"]
    names = zip(
        page.labels.column("appliance_kind", kinds, kinds),
        page.labels.column("symptom", rows["symptom"], kinds),
        strict=True,
    )
    return rows.assign(
        closed=[words.day(each) for each in rows["closed_on"]],
        complaint=[f"{kind}: {complaint}" for kind, complaint in names],
        verdict=[
            words.MISSING if words.is_missing(each) else sentences.verdict_words(each)
            for each in rows["decision"]
        ],
        limits=[limits_in_full(row.low, row.high, row.unit) for row in each_row(rows)],
    )
