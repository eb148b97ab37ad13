"""What we don't write down: by field, technician and branch, and which answers it costs."""

import pandas as pd
import streamlit as st

from dashboard.database.filter_words import filter_words
from dashboard.recording import charts
from dashboard.recording.compute import by_field, first_to_write
from dashboard.recording.load import fields_of
from dashboard.recording.sentences import FIELDS, answers, most
from dashboard.recording.sheet import html, missing, sheet_of
from dashboard.text import format as words
from dashboard.text.escape_markdown import verbatim
from dashboard.ui import columns, job_table, shell, widgets
from dashboard.ui.by_click import set_choice
from dashboard.ui.page import Page
from dashboard.views.sections.offer_paper import offer_paper

GROUPS = {None: "whole shop", "technician": "technician", "branch": "branch"}
SHOWN = {
    "name": columns.text("Field"),
    "share": columns.text("Missing (95% range)"),
    "costs": columns.text("Answers lost"),
    "freed": columns.count("Answers gained", help="answers that lack nothing else"),
}


def draw(page: Page) -> None:
    """Draw the page."""
    page.begin("What is missing from our records, and which answers does that cost?")
    fields = fields_of(page.snapshot, page.filters)
    if fields.empty:
        st.info("No closed job is in this filter. Widen the dates or clear a filter.")
        st.stop()
    st.markdown(f"**{verbatim(most(first_to_write(fields)))}**")
    field = the_fields(fields)
    month = trend(page, field)
    group_by, group = the_groups(page, field)
    if month is not None:
        group_by, group = "month", month
        st.subheader(f"The jobs of {words.month(month)}")
    else:
        st.subheader("The jobs")
    jobs = page.rows("unwritten_jobs", field=field, group_by=group_by, group_value=group)
    title = f"jobs without: {FIELDS[field].lower()}"
    job_table.show(jobs, page.labels, title, "unwritten_jobs")
    print_or_share(page)
    widgets.download(fields.drop(columns="answers"), "recording")
    widgets.how_counted("recording")


def the_fields(fields: pd.DataFrame) -> str:
    """List the fields, what is missing and what it costs; return the chosen one."""
    listed = fields.assign(
        name=[FIELDS[each] for each in fields["field"]],
        share=[missing(row) for _, row in fields.iterrows()],
        costs=[answers(row) for _, row in fields.iterrows()],
    )
    row = widgets.clicked_row(listed, SHOWN, "field_rows")
    set_choice("field", None if row is None else listed["field"].iloc[row], "row")
    return st.selectbox(
        "Field", listed["field"].tolist(), format_func=FIELDS.__getitem__, key="field",
        bind="query-params",
    )  # fmt: skip


def trend(page: Page, field: str) -> str | None:
    """Draw how often the field is missing, month by month; return the month clicked."""
    months = by_field(page.measure("recording", group_by="month"))
    own = months[months["field"] == field].sort_values("group")
    name = FIELDS[field]
    last = own.tail(3)
    share = last["missing"].sum() / max(last["asked"].sum(), 1)
    event = widgets.chart(
        charts.by_month(own),
        alt=f"{name} missing by month",
        key="missing_by_month",
        title=f"{name}: missing on {share:.0%} of the jobs of the last {len(last)} months",
        on_select="rerun",
        selection_mode="points",
    )
    st.caption("Click a month to list its jobs below.")
    return widgets.clicked(event)


def the_groups(page: Page, field: str) -> tuple[str | None, str | None]:
    """List technicians or branches by name; return the group whose jobs are wanted."""
    group_by = st.segmented_control(
        "By", [each for each in GROUPS if each], default="technician",
        format_func=lambda each: GROUPS[each].capitalize(), key="missing_by", required=True,
    )  # fmt: skip
    groups = by_field(page.measure("recording", group_by=group_by))
    own = groups[groups["field"] == field].sort_values("group", ignore_index=True)
    listed = own.assign(
        name=[page.labels.of(group_by, each) for each in own["group"]],
        share=[missing(row) for _, row in own.iterrows()],
        costs=[answers(row) for _, row in own.iterrows()],
    )
    shown = SHOWN | {"name": columns.text(GROUPS[group_by].capitalize())}
    row = widgets.clicked_row(listed, shown, f"missing_rows_{group_by}")
    set_choice("of_group", None if row is None else listed["group"].iloc[row], "row")
    group = st.selectbox(
        "Jobs of", [None, *listed["group"]], key="of_group",
        format_func=lambda each: "all" if each is None else page.labels.of(group_by, each),
    )  # fmt: skip
    return group_by, group


def print_or_share(page: Page) -> None:
    """Offer the page as a file; a filter is named in it and in the file's name."""
    filtered = filter_words(page.filters, page.labels)
    name = "not_written_down_FILTERED" if filtered else "not_written_down"

    def content() -> str:
        return html(sheet_of(page.snapshot, page.filters, filtered))

    offer_paper("Download to print", content, name)


if __name__ == "__main__":
    shell.show(draw)
