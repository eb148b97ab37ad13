"""Complaint sheet: causes, tests, parts, minutes, price and past jobs of one complaint."""

import pandas as pd
import streamlit as st

from dashboard.rows import Row, each_row
from dashboard.sheet.figures import Sheet, Subject
from dashboard.sheet.html import html
from dashboard.sheet.load import complaint_sheet
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import job_cards, job_table, shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.job_cards import JobCard
from dashboard.ui.page import Page

ANY = "any"
NO_CAUSE = "root cause not recorded"


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What is it usually, what do we check first, and what do we bring?")
    choices = page.rows("sheet_choices")
    subject = choose_subject(page, choices)
    sheet = complaint_sheet(page.snapshot, subject, page.filters)
    st.subheader(sheet.title)
    (st.warning if sheet.is_general else st.markdown)(verbatim(sheet.basis))
    name = "_".join(each for each in ("sheet", subject.kind, subject.complaint) if each)
    widgets.offer(
        "Download the sheet to print", lambda: html(sheet), f"{name}.html", "text/html", key="sheet"
    )
    left, right = st.columns([3, 2])
    with left:
        tests(sheet)
    with right:
        records(sheet)
    last_jobs(page, subject, sheet)
    for line in sheet.remarks:
        widgets.BOXES[line.kind](line.text)


def choose_subject(page: Page, choices: pd.DataFrame) -> Subject:
    """Let the reader choose complaint, brand and model."""
    counts = choices.groupby(["appliance_kind", "symptom"])["jobs"].sum()
    kind, complaint = choose_complaint(counts, page.labels)
    one = choices[(choices["appliance_kind"] == kind) & (choices["symptom"] == complaint)]
    left, right = st.columns(2)
    with left:
        brand = choose_name("Brand", one["brand"], "brand")
    with right:
        of_brand = one if brand is None else one[one["brand"] == brand]
        model = choose_name("Model", of_brand["model"], "model") if brand else None
    return Subject(kind, complaint, brand, model)


def choose_name(title: str, names: pd.Series, key: str) -> str | None:
    """Let the reader choose a brand or a model; None means any."""
    listed = sorted(set(names.dropna()))
    chosen = st.selectbox(title, [ANY, *listed], key=key, bind="query-params", disabled=not listed)
    return None if chosen == ANY else chosen


def tests(sheet: Sheet) -> None:
    """List looks and tests in order, with cautions, and what to check before closing."""
    st.subheader("Looks and tests, in order")
    if not sheet.has_tests:
        st.info("No test is listed for this complaint.")
    if sheet.lines:
        listed_lines(sheet)
    bullets("Before closing", sheet.before_closing)


def listed_lines(sheet: Sheet) -> None:
    """Draw the looks and tests with their cautions in one box."""
    with st.container(border=True):
        for line in sheet.lines:
            if line.kind in widgets.BOXES:
                widgets.BOXES[line.kind](line.text)
            else:
                is_open = line.kind in ("open", "heading")
                st.markdown(f"**{verbatim(line.text)}**" if is_open else f"- {verbatim(line.text)}")


def records(sheet: Sheet) -> None:
    """Show what the records say: causes, parts, time, price, returns."""
    st.subheader("Usual causes")
    st.table(
        pd.DataFrame(
            [[verbatim(cause), on_one_line(share), jobs] for cause, share, jobs in sheet.causes],
            columns=["Cause", "Share (95% range)", "Jobs"],
        ),
        border="horizontal",
        hide_index=True,
    )
    bullets("Bring", sheet.parts)
    bullets("Time and price", sheet.plan)
    st.markdown(f"**{verbatim(sheet.came_back)}**")


def on_one_line(text: str) -> str:
    """Write a text that no narrow column breaks."""
    return text.replace(" ", "\u00a0").replace("–", "–\u2060")


def bullets(title: str, lines: tuple[str, ...]) -> None:
    """Write a list under its heading; nothing where there is none."""
    if lines:
        st.subheader(title)
        st.markdown("\n".join(f"- {verbatim(line)}" for line in lines))


def last_jobs(page: Page, subject: Subject, sheet: Sheet) -> None:
    """List the last five jobs; a click opens one."""
    st.subheader("Last jobs")
    if sheet.last_jobs.empty:
        st.caption("No job.")
        return
    causes = page.labels.column(
        "cause", sheet.last_jobs["cause"], [subject.kind] * len(sheet.last_jobs)
    )
    jobs = [
        last_job(row, cause) for row, cause in zip(each_row(sheet.last_jobs), causes, strict=True)
    ]
    job_cards.show(jobs, "the complaint sheet", "sheet_jobs")


def last_job(row: Row, cause: str | None) -> JobCard:
    """Return a job with its appliance, its root cause, and the time and visits that it took."""
    appliance = " ".join(str(each) for each in (row.brand, row.model) if not words.is_missing(each))
    took = job_table.happened(row.attended_visits, None, row.callback_days)
    if not words.is_missing(row.labour_min):
        took = f"{words.minutes(row.labour_min)}, {took}"
    closed = f"closed {words.day(row.closed_on)}"
    head = f"{appliance}, {closed}" if appliance else words.capitalized(closed)
    return JobCard(str(row.job_id), (head, f"{words.capitalized(cause or NO_CAUSE)}. {took}"))


if __name__ == "__main__":
    shell.show(draw)
