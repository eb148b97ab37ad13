"""A table of jobs whose numbers lead to the job's own page."""

from urllib.parse import quote

import pandas as pd
import streamlit as st

JOB_COLUMN = st.column_config.LinkColumn("Job", display_text=r"#(.*)$")


def with_links(jobs: pd.DataFrame, column: str = "job_id") -> pd.DataFrame:
    """Return the table with `column` turned into links to the page of that job."""
    linked = [
        f"/job?job={quote(str(number), safe='')}#{number}" if isinstance(number, str) else None
        for number in jobs[column]
    ]
    return jobs.assign(**{column: linked})
