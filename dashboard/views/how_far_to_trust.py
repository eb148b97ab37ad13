"""How far to trust this: what each page can find in these records, and how often it errs."""

import streamlit as st

from dashboard.power import sentences
from dashboard.rows import each_row
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What can these records show, and how often is somebody named by chance?")
    with st.spinner("Computing what these records can show …"):
        table = page.measure("how_far_to_trust")
    if table.empty:
        st.info("No completed repair is in this filter. Widen the dates or clear a filter.")
        st.stop()
    st.markdown(
        "A difference smaller than the one in a line is missed in more than 1 of 5 cases. **A page "
        "without a name does not prove that no one differs.** The figures come from this shop's "
        "own counts; with more jobs, smaller differences are found."
    )
    for row in each_row(table):
        st.markdown(sentences.line(row, page.dataset.currency))
    st.caption(
        "These figures allow for chance alone. They assume that work is shared out evenly and that "
        "one job does not affect another. Wrong records are not chance: no number here covers them."
    )
    widgets.download(table, "how_far_to_trust")
    widgets.how_counted("how_far_to_trust")


if __name__ == "__main__":
    shell.show(draw)
