"""The table of contents, grouped by reader."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import streamlit as st
from streamlit.navigation.page import StreamlitPage

from dashboard.access import policy as access
from dashboard.server import sign_in
from dashboard.ui import page

st.set_page_config(
    page_title="Ohms & Hours", page_icon=str(Path(__file__).with_name("icon.png")), layout="wide"
)

reader = sign_in.identify()
opened = [name for name in access.PAGES if isinstance(reader, access.Reader) and reader.opens(name)]


def view(name: str, title: str) -> StreamlitPage:
    """Return a page: in the menu of who opens it; its address is known to all, to be refused."""
    return st.Page(
        f"views/{name}.py",
        title=title,
        default=name == "month" and name in opened,
        visibility="visible" if name in opened else "hidden",
    )


def to_the_first() -> None:
    """Go on to the first page that the reader opens."""
    st.switch_page(f"views/{opened[0]}.py")


SECTIONS = {
    "The owner": [
        view("month", title="The month"),
        view("first_time_fix", title="First-time fix"),
        view("callbacks", title="Callbacks"),
        view("month_signals", title="Is this month different?"),
        view("repeat_visits", title="Repeat visits"),
    ],
    "Lead technician": [
        view("misdiagnosis", title="Misdiagnosis"),
        view("mix_ups", title="Mix-ups"),
        view("root_cause_mix", title="Root causes"),
        view("order_of_tests", title="Order of tests"),
        view("power_of_tests", title="Power of tests"),
        view("what_to_test_next", title="Next test"),
        view("job", title="One job"),
    ],
    "Readings": [
        view("reading_distribution", title="Readings"),
        view("one_reading", title="One reading"),
        view("limit_review", title="Limit review"),
        view("meter_check", title="Meter check"),
    ],
    "Prices and parts": [
        view("flat_rate", title="Flat rates"),
        view("one_repair", title="One repair"),
        view("van_stock", title="Van stock"),
    ],
    "Records": [
        view("records", title="What was loaded"),
        view("add_records", title="Add records"),
        view("settings", title="Settings"),
    ],
}

if "month" not in opened:  # the first page has no address but “/”: every page keeps its own
    first = st.Page(to_the_first, title="Ohms & Hours", default=True, visibility="hidden")
    SECTIONS[""] = [first]
chosen = st.navigation(SECTIONS, position="top" if opened else "hidden")
if isinstance(reader, str):
    sign_in.ask(reader)
    st.stop()
page.prepare()
sign_in.show_reader(reader)
page.follow_new_versions()
page.run(chosen, chosen.url_path or opened[0])
