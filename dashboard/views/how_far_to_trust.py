"""How far to trust this: what each page can find in these records, and how often it errs."""

import streamlit as st

from dashboard.power import sentences
from dashboard.ui import shell, widgets
from dashboard.ui.page import Page

SHOWN = {
    "question": st.column_config.TextColumn("Question", width="medium"),
    "typical": st.column_config.TextColumn("Typical here"),
    "found_words": st.column_config.TextColumn("Found in 4 of 5 cases", width="medium"),
    "errs": st.column_config.TextColumn("Nobody differs, yet", width="medium"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What can these records show, and how often is somebody named by chance?")
    with st.spinner("Computing what these records can show …"):
        table = page.measure("how_far_to_trust")
    if table.empty:
        st.info("No completed repair is in this filter. Widen the dates or clear a filter.")
        st.stop()
    st.markdown(
        "A difference smaller than the one in the third column is missed more often than in 1 of 5 "
        "cases. **A page that names nobody does not show that nobody differs.** The figures come "
        "from this shop's own counts; more jobs find smaller differences."
    )
    currency = page.dataset.currency
    rows = list(table.itertuples())
    table = table.assign(
        question=[sentences.QUESTIONS[row.page] for row in rows],
        typical=[sentences.typical(row.page, row.n) for row in rows],
        found_words=[sentences.found(row.page, row.usual, row.found, currency) for row in rows],
        errs=[sentences.errs(row.page, row.false_flags) for row in rows],
    )
    widgets.table(table, SHOWN)
    st.caption(
        "Computed by chance alone: that work is shared out evenly, and that one job does not "
        "change another, is assumed. A wrong record is not chance, and no number here covers it."
    )
    widgets.download(table.drop(columns=list(SHOWN)), "how_far_to_trust")
    widgets.how_counted("how_far_to_trust")


if __name__ == "__main__":
    shell.show(draw)
