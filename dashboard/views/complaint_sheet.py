"""Complaint sheet: causes, tests, parts, minutes, price and past jobs of one complaint."""

import pandas as pd
import streamlit as st

from dashboard.rows import each_row
from dashboard.sheet.figures import Sheet, Subject
from dashboard.sheet.html import html
from dashboard.sheet.load import complaint_sheet
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.complaint_picker import choose_complaint
from dashboard.ui.page import Page

ANY = "any"
LAST_JOBS = {
    "job_id": columns.text("Job", width=70),
    "closed_on": columns.day("Closed"),
    "appliance": columns.text("Brand and model", width=150),
    "cause_label": columns.text("Root cause", width=340),
    "labour_min": columns.minutes("Time on job"),
    "happened": columns.text("Visits and returns", width="medium"),
}


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
    widgets.table(
        pd.DataFrame(sheet.causes, columns=["cause", "share", "jobs"]),
        {
            "cause": st.column_config.TextColumn("Cause", width=260),
            "share": st.column_config.TextColumn("Share (95%)", width=100),
            "jobs": st.column_config.TextColumn("Jobs", width=50),
        },
    )
    bullets("Bring", sheet.parts)
    bullets("Time and price", sheet.plan)
    st.markdown(f"**{verbatim(sheet.came_back)}**")


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
    jobs = sheet.last_jobs
    kinds = [subject.kind] * len(jobs)
    named = jobs.assign(
        cause_label=page.labels.column("cause", jobs["cause"], kinds),
        appliance=[" ".join(filter(pd.notna, pair)) for pair in zip(*models(jobs), strict=True)],
        happened=[
            job_table.happened(row.attended_visits, None, row.callback_days)
            for row in each_row(jobs)
        ],
    )
    job_table.opening(named, LAST_JOBS, "the complaint sheet", "sheet_jobs")


def models(jobs: pd.DataFrame) -> tuple[pd.Series, pd.Series]:
    """Return brand and model of each job, missing ones as None."""
    return jobs["brand"].astype(object), jobs["model"].astype(object)


if __name__ == "__main__":
    shell.show(draw)
