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
    "Do the fixes hold?": [
        st.Page("views/first_time_fix.py", title="First-time fix", default=True),
        st.Page("views/callbacks.py", title="Callbacks"),
    ],
    "What was wrong?": [
        st.Page("views/root_cause_mix.py", title="Root causes"),
        st.Page("views/reading_distribution.py", title="Readings"),
        st.Page("views/calculator.py", title="One reading"),
    ],
    "Records": [
        st.Page("views/records.py", title="What was loaded"),
        st.Page("views/add_records.py", title="Add records"),
    ],
}

chosen = st.navigation(SECTIONS)
page.prepare()
chosen.run()
