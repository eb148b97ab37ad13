"""The table of contents, grouped by reader."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import streamlit as st

from dashboard import page

st.set_page_config(
    page_title="Ohms & Hours", page_icon=str(Path(__file__).with_name("icon.png")), layout="wide"
)

SECTIONS = {
    "The owner": [
        st.Page("views/month.py", title="The month", default=True),
        st.Page("views/first_time_fix.py", title="First-time fix"),
        st.Page("views/callbacks.py", title="Callbacks"),
        st.Page("views/month_signals.py", title="Is this month different?"),
        st.Page("views/repeat_visits.py", title="Repeat visits"),
    ],
    "Lead technician": [
        st.Page("views/misdiagnosis.py", title="Misdiagnosis"),
        st.Page("views/confusion.py", title="Mix-ups"),
        st.Page("views/root_cause_mix.py", title="Root causes"),
        st.Page("views/test_order.py", title="Order of tests"),
        st.Page("views/test_power.py", title="Power of tests"),
        st.Page("views/next_test.py", title="Next test"),
        st.Page("views/job.py", title="One job"),
    ],
    "Readings": [
        st.Page("views/reading_distribution.py", title="Readings"),
        st.Page("views/calculator.py", title="One reading"),
        st.Page("views/limit_review.py", title="Limit review"),
        st.Page("views/meter_check.py", title="Meter check"),
    ],
    "Prices and parts": [
        st.Page("views/flat_rate.py", title="Flat rates"),
        st.Page("views/one_repair.py", title="One repair"),
        st.Page("views/van_stock.py", title="Van stock"),
    ],
    "Records": [
        st.Page("views/records.py", title="What was loaded"),
        st.Page("views/add_records.py", title="Add records"),
        st.Page("views/settings.py", title="Settings"),
    ],
}

chosen = st.navigation(SECTIONS, position="top")
page.prepare()
page.follow_new_versions()
page.run(chosen)
