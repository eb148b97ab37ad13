"""Section: the page as a file to print, as HTML and, where a browser is installed, as PDF."""

from collections.abc import Callable

import streamlit as st

from dashboard.text import pdf
from dashboard.ui import widgets


def offer_paper(what: str, content: Callable[[], str], name: str) -> None:
    """Offer the HTML that `content` makes; `what` is in the labels, `name` in the file names."""
    with st.container(horizontal=True):
        widgets.offer(f"{what} (HTML)", content, f"{name}.html", "text/html")
        if pdf.browser():
            widgets.offer(
                f"{what} (PDF)", lambda: pdf.pdf_of(content()), f"{name}.pdf", "application/pdf"
            )
    if not pdf.browser():
        st.caption("For a PDF, print the file from a browser.")
